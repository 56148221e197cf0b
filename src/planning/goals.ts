import type { Compartment } from './terms.ts'

/**
 * What a recipe asks of the two bones, after overrides. `sites`: solved so that both sites of that cut have difference 0.
 * Degrees and mm.
 */
export interface FemoralGoal {
  readonly flexionDeg: number
  readonly valgusDeg: number | 'sites'
  readonly rotationDeg: number | 'sites'
  /** Which site has difference 0 where the cut is not solved for both. */
  readonly level: Compartment | 'proudest'
  /** Distance of the distal plane from the medial distal site; null: by `level`. */
  readonly distalMm: number | null
  /** Distance of the posterior plane from the medial posterior site; null: by `level`. */
  readonly posteriorMm: number | null
}

export interface TibialGoal {
  readonly slopeDeg: number
  readonly varusDeg: number | 'sites'
  readonly level: Compartment | 'proudest'
  /** Distance of the plane from the plateau point (or their middle) it is measured from; null: by `level`. */
  readonly depthMm: number | null
  readonly depthFrom: Compartment | 'mean'
  readonly rotationDeg: number
}
