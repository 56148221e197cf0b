import { useEffect, useRef } from 'react'
import type { Side } from '../../anatomy/terms.ts'
import { sideFactor } from '../../anatomy/terms.ts'
import type { LoadMap } from '../../loading/loads.ts'
import { nowhere } from '../../loading/pressure-map.ts'
import { formatNumber } from '../text/format.ts'
import { cssColour, sequentialColour } from './colour-map.ts'

interface PressureMapProps {
  readonly map: LoadMap
  readonly side: Side
  /** Top of the scale, MPa: the same for maps that stand side by side. */
  readonly topMpa: number
  readonly label: string
  /** Edge of the tray in the map's own coordinates: lateral, anterior, mm from the tray's centre. */
  readonly edge?: readonly (readonly [number, number])[] | undefined
  /** Where the load's line meets the mapped surface, in the same coordinates. */
  readonly meetsAt?: readonly [number, number] | undefined
}

/** What lies under the tray and carries nothing, in any theme. */
const liftedOff = [140, 140, 140, 110] as const

/** Pressure seen from above, anterior at the top; the subject's right is on the right. */
export function PressureMap({ map, side, topMpa, label, edge = [], meetsAt }: PressureMapProps) {
  const canvas = useRef<HTMLCanvasElement>(null)
  const s = sideFactor(side)
  useEffect(() => {
    const element = canvas.current
    const context = element?.getContext('2d')
    if (!element || !context) return
    const image = context.createImageData(map.columns, map.rows)
    for (let row = 0; row < map.rows; row++) {
      for (let column = 0; column < map.columns; column++) {
        const pressure = map.pressureMpa[row * map.columns + column]!
        // Rows run forward, lateral runs along columns: both are turned so that anterior is up and right is right.
        const x = s > 0 ? column : map.columns - 1 - column
        const at = 4 * ((map.rows - 1 - row) * map.columns + x)
        if (pressure === nowhere || (pressure <= 0 && map.where === 'bearing')) continue
        if (pressure <= 0) {
          image.data.set(liftedOff, at)
          continue
        }
        const [r, g, b] = sequentialColour(pressure / topMpa)
        image.data.set([r, g, b, 255], at)
      }
    }
    context.putImageData(image, 0, 0)
  }, [map, s, topMpa])
  const width = (map.columns - 1) * map.cellMm
  const height = (map.rows - 1) * map.cellMm
  const across = (lateral: number) => (s > 0 ? lateral - map.low[0] : width - (lateral - map.low[0])).toFixed(2)
  const down = (anterior: number) => (height - (anterior - map.low[1])).toFixed(2)
  const [left, right] = s > 0 ? ['medial', 'lateral'] : ['lateral', 'medial']
  return (
    <figure className="pressure-map" aria-label={label}>
      <figcaption>{label}</figcaption>
      <div className="pressure-frame" style={{ aspectRatio: `${width} / ${height}` }}>
        <canvas
          ref={canvas}
          width={map.columns}
          height={map.rows}
          role="img"
          aria-label={`${label}, map of pressure`}
        />
        <svg className="pressure-edge" viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
          <polygon points={edge.map(([lateral, anterior]) => `${across(lateral)},${down(anterior)}`).join(' ')} />
          {meetsAt ? <circle className="load-point" cx={across(meetsAt[0])} cy={down(meetsAt[1])} r="1.6" /> : null}
        </svg>
        <span className="map-side left">{left}</span>
        <span className="map-side right">{right}</span>
        <span className="map-side top">anterior</span>
      </div>
    </figure>
  )
}

interface PressureLegendProps {
  readonly topMpa: number
  /** A band to compare with, bracketed as far as it lies on the scale; null: none. */
  readonly bandMpa: readonly [number, number] | null
}

/** The scale of the maps above it, with its unit. */
export function PressureLegend({ topMpa, bandMpa }: PressureLegendProps) {
  const steps = 24
  const band = bandMpa?.map((mpa) => (Math.min(mpa, topMpa) / topMpa) * steps)
  return (
    <div className="map-legend">
      <svg viewBox={`0 0 ${steps} 1`} preserveAspectRatio="none" aria-hidden="true">
        {Array.from({ length: steps }, (_, k) => (
          <rect
            // biome-ignore lint/suspicious/noArrayIndexKey: the steps never change places
            key={k}
            x={k}
            width="1.02"
            height="1"
            fill={cssColour(sequentialColour((k + 0.5) / steps))}
          />
        ))}
        {band && band[0]! < steps ? (
          <rect className="legend-band" x={band[0]} y="0.62" width={band[1]! - band[0]!} height="0.38" />
        ) : null}
      </svg>
      <p>
        <span>0</span>
        <span>{formatNumber(topMpa / 2)}</span>
        <span>{formatNumber(topMpa)} MPa</span>
      </p>
    </div>
  )
}
