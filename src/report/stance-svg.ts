import type { FrontalPoint, StanceDrawing } from '../stance/drawing.ts'
import { shownWithUnit } from './numbers.ts'

/**
 * The stance from the front as an SVG of its own: floor, bones, plumb line, hip–ankle line, tray with its tilt. The
 * subject faces the viewer, so the right leg stands on the left. True scale, no exaggeration.
 */
export function stanceSvg(drawing: StanceDrawing, heightPx = 460): string {
  const margin = 110
  const left = -drawing.boxMm.high[0] - margin
  const right = -drawing.boxMm.low[0] + margin
  const top = drawing.boxMm.high[1] + 30
  const width = right - left
  const height = top + 20
  const at = ([x, y]: FrontalPoint) => `${round(-x)},${round(-y)}`
  const loops = (all: readonly (readonly FrontalPoint[])[]) => all.map((loop) => `M${loop.map(at).join('L')}Z`).join('')
  const legs = drawing.legs
    .map((leg) => {
      const kind = leg.side === drawing.side ? 'own' : 'other'
      return `<path class="bone ${kind}" fill-rule="evenodd" d="${loops(leg.femur)}"/><path class="bone ${kind}" fill-rule="evenodd" d="${loops(leg.tibia)}"/>`
    })
    .join('')
  const { medial, lateral, coronalDeg } = drawing.tray
  const middle: FrontalPoint = [(medial[0] + lateral[0]) / 2, (medial[1] + lateral[1]) / 2]
  const outward = drawing.side === 'right' ? -1 : 1
  const label = `<text class="tilt" x="${round(-middle[0] + outward * 60)}" y="${round(-middle[1] + 6)}" text-anchor="${outward < 0 ? 'end' : 'start'}">${shownWithUnit(coronalDeg, 'deg', true)}</text>`
  const words = coronalDeg > 0 ? 'medial side down' : coronalDeg < 0 ? 'lateral side down' : 'level'
  return `<svg class="stance" xmlns="http://www.w3.org/2000/svg" role="img" aria-label="Standing leg from the front; tray ${shownWithUnit(Math.abs(coronalDeg), 'deg')} to the floor, ${words}" viewBox="${round(left)} ${round(-top)} ${round(width)} ${round(height)}" height="${heightPx}">
<style>.bone{fill:#efe6d4;stroke:#8b7d62;stroke-width:1.4}.bone.other{fill:#f6f2ea;stroke:#c4baa5}.floor{stroke:#222;stroke-width:4}.plumb{stroke:#555;stroke-width:1.6;stroke-dasharray:9 7}.load{stroke:#2b5c8a;stroke-width:1.6}.tray{stroke:#b3541e;stroke-width:7;stroke-linecap:round}.tilt{font:600 24px system-ui,sans-serif;fill:#b3541e}</style>
${legs}<line class="plumb" ${ends(drawing.plumb)}/><line class="load" ${ends(drawing.loadLine)}/><line class="floor" x1="${round(left)}" y1="0" x2="${round(right)}" y2="0"/><line class="tray" ${ends([medial, lateral])}/>${label}
</svg>`
}

const ends = ([a, b]: readonly [FrontalPoint, FrontalPoint]): string =>
  `x1="${round(-a[0])}" y1="${round(-a[1])}" x2="${round(-b[0])}" y2="${round(-b[1])}"`

const round = (value: number): string => String(Math.round(value * 100) / 100 || 0)
