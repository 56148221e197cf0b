import { memo } from 'react'
import type { LightDrawing, LightLeg, LightLoops } from '../../engine/light-drawing.ts'
import { useWorkbenchState } from '../workbench.ts'
import { onScreen } from './bar-geometry.ts'

/** The standing legs in outline, true to scale, from the posed meshes; the viewer faces the subject. */
export function LegsDrawing() {
  const drawing = useWorkbenchState((state) => state.drawing)
  return (
    <div className="strip-legs">
      {drawing ? <Legs drawing={drawing} /> : null}
      <span className="floor-word">floor</span>
    </div>
  )
}

function Legs({ drawing }: { readonly drawing: LightDrawing }) {
  const { low, high } = drawing.boxMm
  const margin = 30
  const left = -high[0] - margin
  const width = high[0] - low[0] + 2 * margin
  const [medialX, medialY] = onScreen(drawing.tray.medial)
  const [lateralX, lateralY] = onScreen(drawing.tray.lateral)
  const [top, foot] = drawing.plumb.map(onScreen) as [readonly [number, number], readonly [number, number]]
  return (
    <svg
      className="legs-drawing"
      viewBox={`${left} ${-high[1] - 12} ${width} ${high[1] + 12}`}
      preserveAspectRatio="xMidYMax meet"
      role="img"
      aria-label="Standing legs seen from the front, to scale"
    >
      {drawing.legs.toReversed().map((leg) => (
        <Leg key={leg.side} leg={leg} kind={leg.mirrored ? ' mirrored' : leg.side === drawing.side ? '' : ' other'} />
      ))}
      <line className="leg-plumb" x1={top[0]} y1={top[1]} x2={foot[0]} y2={foot[1]} />
      <line className="leg-tray" x1={medialX} y1={medialY} x2={lateralX} y2={lateralY} />
    </svg>
  )
}

const Leg = memo(function Leg({ leg, kind }: { readonly leg: LightLeg; readonly kind: string }) {
  return (
    <g className={`leg${kind}`}>
      <path d={pathOf(leg.tibia)} />
      <path d={pathOf(leg.femur)} />
    </g>
  )
})

/** To a tenth of a millimetre, on the screen's axes. */
function pathOf({ points, ends }: LightLoops): string {
  let path = ''
  let at = 0
  for (const end of ends) {
    let pen = 'M'
    for (; at < end; at++) {
      path += `${pen}${Math.round(-10 * points[2 * at]!) / 10} ${Math.round(-10 * points[2 * at + 1]!) / 10}`
      pen = 'L'
    }
    path += 'Z'
  }
  return path
}
