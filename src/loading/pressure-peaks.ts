import type { Vec3 } from '../geometry/vec.ts'
import { nowhere, type PressureMap } from './pressure-map.ts'

/** A largest pressure and its place over the tray's plane, MPa and the frame of the tray's axes. */
export interface PressurePeak {
  readonly mpa: number
  readonly at: Vec3
  readonly side: 'medial' | 'lateral'
}

/** The tray's axes in one frame, unit; the map's own coordinates run laterally and forward from `centre`. */
export interface MapAxes {
  readonly centre: Vec3
  readonly medial: Vec3
  readonly posterior: Vec3
}

/** The largest pressure on either side of the tray's middle; a side that carries nothing has none. */
export function pressurePeaks(map: PressureMap, { centre, medial, posterior }: MapAxes): readonly PressurePeak[] {
  return (['medial', 'lateral'] as const).flatMap((side) => {
    let best = -1
    map.pressureMpa.forEach((mpa, k) => {
      const lateral = map.low[0] + (k % map.columns) * map.cellMm
      if (mpa <= 0 || lateral > 0 !== (side === 'lateral')) return
      if (best < 0 || mpa > map.pressureMpa[best]!) best = k
    })
    if (best < 0) return []
    const lateral = map.low[0] + (best % map.columns) * map.cellMm
    const anterior = map.low[1] + Math.floor(best / map.columns) * map.cellMm
    const at = centre.map((c, axis) => c - lateral * medial[axis]! - anterior * posterior[axis]!) as unknown as Vec3
    return [{ mpa: map.pressureMpa[best]!, at, side }]
  })
}

/** The top of a scale that holds all these maps: their largest pressure, rounded up to a whole MPa, at least 1. */
export function scaleTopMpa(maps: readonly PressureMap[]): number {
  let most = 1
  for (const map of maps) for (const mpa of map.pressureMpa) if (mpa !== nowhere && mpa > most) most = mpa
  return Math.ceil(most)
}
