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
  const page = useMemo(
    () =>
      findings
        ? new DOMParser().parseFromString(reportHtml({ findings, drawing, caseName: name, notes }), 'text/html')
        : null,
    [findings, drawing, name, notes],
  )
  useEffect(() => {
    const element = holder.current
    if (!element || !page) return
    const root = element.shadowRoot ?? element.attachShadow({ mode: 'open' })
    // The report's own style stays inside; rules for its body apply to the holder of the sheet.
    const sheet = new CSSStyleSheet()
    sheet.replaceSync((page.querySelector('style')?.textContent ?? '').replaceAll(/\b(body|:root)\s*\{/g, '.paper {'))
    root.adoptedStyleSheets = [sheet]
    const paper = document.createElement('div')
    paper.className = 'paper'
    paper.append(...[...page.body.childNodes].map((node) => document.importNode(node, true)))
    root.replaceChildren(paper)
  }, [page])
  if (!findings) return <p className="view-message">{failure?.message ?? 'Nothing to report yet.'}</p>
  return (
    <div className="report-page">
      <article ref={holder} className="report-sheet" aria-label="Report" />
    </div>
  )
}
