import { useEffect, useMemo, useRef } from 'react'
import { reportHtml } from '../../report/html.ts'
import { pageRule } from '../../report/report-style.ts'
import { findAlternatives, reportInput } from '../live/report-of-case.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** The rehearsal expectation as a sheet of paper, the same HTML that is saved; this is what is printed. */
export function ReportPage() {
  const workbench = useWorkbench()
  const holder = useRef<HTMLDivElement>(null)
  const findings = useWorkbenchState((state) => state.findings)
  const drawing = useWorkbenchState((state) => state.drawing)
  const failure = useWorkbenchState((state) => state.failure)
  const document = useWorkbenchState((state) => state.history.present)
  const names = useWorkbenchState((state) => state.namesInExports)
  const alternatives = useWorkbenchState((state) => state.alternatives)
  const settled = useWorkbenchState((state) => !state.updating && state.depth === 'full' && !state.history.gesture)
  // biome-ignore lint/correctness/useExhaustiveDependencies: what the report is made of decides when it is made again
  const html = useMemo(() => {
    const input = reportInput(workbench.store.getState())
    return input ? reportHtml(input) : null
  }, [workbench, findings, drawing, document, names, alternatives])
  useEffect(() => {
    // Another case on this page is another comparison.
    if (settled && document) void findAlternatives(workbench)
  }, [workbench, settled, document])
  // The rule of the sheet counts only in the page's own styles.
  useEffect(() => {
    const sheet = new CSSStyleSheet()
    sheet.replaceSync(pageRule)
    window.document.adoptedStyleSheets = [...window.document.adoptedStyleSheets, sheet]
    return () => {
      window.document.adoptedStyleSheets = window.document.adoptedStyleSheets.filter((other) => other !== sheet)
    }
  }, [])
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
