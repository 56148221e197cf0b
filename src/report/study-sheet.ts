import { caution } from '../casefile/program.ts'
import { label, panelWidth } from './svg-parts.ts'

export interface StudyPanel {
  readonly svg: string
  readonly height: number
}

/** Panels one below the other under a title and a small line, the caution at the foot: one SVG document. */
export function studySheet(about: string, title: string, small: string, panels: readonly StudyPanel[]): string {
  let top = 46
  const placed = panels.map(({ svg, height }) => {
    const at = top
    top += height
    return `<g transform="translate(0 ${at})">${svg}</g>`
  })
  const notice = caution.split(/(?<=; )/)
  const height = top + 26 + 16 * notice.length
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${panelWidth} ${height}" width="${panelWidth}" height="${height}" role="img" aria-label="${label(about)}">
<style>${style}</style>
<rect class="paper" width="${panelWidth}" height="${height}"/>
<text class="title" x="16" y="26">${label(title)}</text>
<text class="small" x="16" y="42">${label(small)}</text>
${placed.join('\n')}
${notice.map((line, k) => `<text class="small" x="16" y="${top + 18 + 16 * k}">${label(line.trim())}</text>`).join('\n')}
</svg>
`
}

const style =
  '.paper{fill:#fff}text{font-family:system-ui,sans-serif;font-size:12px;fill:#1d2328}.title{font-weight:600;font-size:14px}.small{font-size:11px;fill:#4a545c}' +
  '.frame{fill:none;stroke:#8a949b}.grid{stroke:#dfe3e6}.line{fill:none;stroke:#1f5f8b;stroke-width:2}.dot{fill:#1f5f8b}' +
  '.limit{fill:none;stroke:#a8431a;stroke-width:1.6;stroke-dasharray:6 4}.limit-text{fill:#8f3512;font-size:11px;paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}.hole{fill:#fff;stroke:#c5ccd1}'
