import { useMemo, useRef } from 'react'
import { useSize } from '../parts/use-size.ts'
import { useWorkbenchState } from '../workbench.ts'
import { barGeometry, bubbleAtOneDegree } from './bar-geometry.ts'

const width = 440
const height = 168
const floorY = 146
const centre = { x: width / 2, y: 72 }
const half = 132
const vial = 13

/** The tray as a spirit level over the floor line, with the plumb line through it. */
export function BarDrawing() {
  const drawing = useWorkbenchState((state) => state.drawing)
  const bar = drawing ? barGeometry(drawing) : null
  // In a pull it follows the hand; else it is seen to settle.
  const pulled = useWorkbenchState((state) => state.history.gesture !== null)
  // The lower end's side is free above the bar, the other side below it.
  const down = bar && bar.turnDeg < 0 ? -1 : 1
  const svg = useRef<SVGSVGElement>(null)
  const size = useSize(svg)
  // Words keep their size on screen however small the drawing gets.
  const scale = size ? Math.min(size.width / width, size.height / height) : 1
  const present = useWorkbenchState((state) => state.present)
  // Asked at every step of a pull, the page would work out its styles anew each time; big type comes with Present.
  // biome-ignore lint/correctness/useExhaustiveDependencies: what changes the page's own size of type
  const fontPx = useMemo(rootFontPx, [present, size])
  const words = { fontSize: (0.84 * fontPx) / Math.max(0.3, scale) }
  const travel = half - 2.4 * vial
  const ends = bar?.medialAt === 1 ? ['lateral', 'medial'] : ['medial', 'lateral']
  const lower = bar === null || bar.turnDeg === 0 ? 'level' : `${bar.turnDeg > 0 ? ends[1] : ends[0]} end lower`
  return (
    <svg
      ref={svg}
      style={words}
      className="bar-drawing"
      viewBox={`0 0 ${width} ${height}`}
      preserveAspectRatio="xMidYMax meet"
      role="img"
      aria-label={
        bar ? `Tray as a level: ${lower}; tilt drawn ${bar.exaggeration} times` : 'Floor line; nothing stands on it yet'
      }
    >
      <line className="plumb" x1={centre.x} x2={centre.x} y1={6} y2={floorY} />
      <text className="strip-label" x={centre.x - 7 * down} y={floorY - 8} textAnchor={down > 0 ? 'end' : 'start'}>
        plumb line
      </text>
      {bar ? (
        <g
          className={pulled ? undefined : 'levels'}
          style={{ transform: `translate(${centre.x}px, ${centre.y}px) rotate(${bar.turnDeg.toFixed(3)}deg)` }}
          data-turn={bar.turnDeg.toFixed(3)}
        >
          <rect className="vial" x={-half} y={-vial} width={2 * half} height={2 * vial} rx={vial} />
          <g
            className={pulled ? undefined : 'levels'}
            style={{ transform: `translate(${(bar.bubble * travel).toFixed(2)}px, 0)` }}
          >
            <ellipse className="bubble" cy={-0.5} rx={1.75 * vial} ry={vial - 3.5} />
            <ellipse className="bubble-shine" cx={-5} cy={-4} rx={7} ry={2} />
          </g>
          {[-1, 1].map((side) => (
            <line
              key={side}
              className="vial-mark"
              x1={side * (travel * bubbleAtOneDegree + 1.75 * vial)}
              x2={side * (travel * bubbleAtOneDegree + 1.75 * vial)}
              y1={-vial}
              y2={vial}
            />
          ))}
          <text className="strip-label" x={-half - 8} y={4} textAnchor="end">
            {ends[0]}
          </text>
          <text className="strip-label" x={half + 8} y={4}>
            {ends[1]}
          </text>
        </g>
      ) : (
        <rect
          className="vial absent"
          x={centre.x - half}
          y={centre.y - vial}
          width={2 * half}
          height={2 * vial}
          rx={vial}
        />
      )}
      {bar ? (
        <text className="strip-label" x={centre.x + 14 * down} y={16} textAnchor={down > 0 ? 'start' : 'end'}>
          {bar.exaggeration === 1 ? 'tilt to scale' : `tilt drawn ×${bar.exaggeration}`}
          <tspan x={centre.x + 14 * down} dy="1.25em">
            marks at 1°
          </tspan>
        </text>
      ) : null}
    </svg>
  )
}

const rootFontPx = (): number => Number.parseFloat(getComputedStyle(document.documentElement).fontSize)
