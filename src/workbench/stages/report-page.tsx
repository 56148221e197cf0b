import { useEffect, useMemo, useRef } from 'react'
import { reportHtml } from '../../report/html.ts'
import { useWorkbenchState } from '../workbench.ts'

/** The rehearsal expectation as a sheet of paper, the same HTML that is saved; this is what is printed. */
export function ReportPage() {
  const holder = useRef<HTMLDivElement>(null)
  const findings = useWorkbenchState((state) => state.findings)
  const drawing = useWorkbenchState((state) => state.drawing)
  const failure = useWorkbenchState((state) => state.failure)
  const name = useWorkbenchState((state) => state.history.present.name)
  const notes = useWorkbenchState((state) => state.history.present.notes)
  const html = useMemo(
    () => (findings ? reportHtml({ findings, drawing, caseName: name, notes }) : null),
    [findings, drawing, name, notes],
  )
  useEffect(() => {
    const element = holder.current
    if (element && html) layOut(element, html)
  }, [html])
  if (!findings) return <p className="view-message">{failure?.message ?? 'Nothing to report yet.'}</p>
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard
    <section className="report-page" aria-label="Report, page" tabIndex={0}>
      <article ref={holder} className="report-sheet" aria-label="Report" />
    </section>
  )
}

/** Puts the report into a tree of its own, so that its style and the window's keep apart; its text is escaped already. */
function layOut(element: HTMLElement, html: string): void {
  const styles = /<style>([\s\S]*?)<\/style>/g
  const style = [...html.matchAll(styles)].map((found) => found[1]).join('\n')
  const [, body = ''] = /<body>([\s\S]*)<\/body>/.exec(html.replaceAll(styles, '')) ?? []
  const root = element.shadowRoot ?? element.attachShadow({ mode: 'open' })
  const sheet = new CSSStyleSheet()
  // A sheet of paper stands in for the page's own body.
  sheet.replaceSync(style.replaceAll(/\b(body|:root)(?=\s*\{)/g, '.paper'))
  root.adoptedStyleSheets = [sheet]
  const paper = document.createElement('div')
  paper.className = 'paper'
  paper.append(...new DOMParser().parseFromString(body, 'text/html').body.childNodes)
  root.replaceChildren(paper)
}
