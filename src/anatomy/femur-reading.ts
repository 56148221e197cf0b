import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { type Bridge, bridgeCondyles, bridgeVertices } from './bridge.ts'
import { type CondylarCylinder, fitCondylarCylinder } from './condylar-cylinder.ts'
import { type Epicondyles, findEpicondyles } from './epicondyles.ts'
import { notchSaddle } from './notch-saddle.ts'

/** What the distal end of a femur shows in one frame; limb coordinates, mm. */
export interface FemurReading {
  readonly posterior: Bridge
  readonly distal: Bridge
  readonly epicondyles: Epicondyles
  readonly notch: Vec3
  /** Only when it was asked for, and found. */
  readonly cylinder: CondylarCylinder | null
}

/**
 * Reads condyles, notch and epicondyles from the part of a femur below `topMm` (limb coordinates, mm); `lengthMm` is L. Null when
 * one of them cannot be found.
 */
export function readFemur(part: Mesh, topMm: number, lengthMm: number, wantsCylinder: boolean): FemurReading | null {
  const first = bridgeVertices(part, 'posterior', topMm, 0)
  if (first === null) return null
  const split = (first.medial[2] + first.lateral[2]) / 2
  const posterior = bridgeCondyles(part, 'posterior', topMm, split)
  const distal = bridgeCondyles(part, 'distal', topMm, split)
  if (posterior === null || distal === null) return null
  const middle = (distal.medial[2] + distal.lateral[2]) / 2
  const notch = notchSaddle(
    part,
    { medial: distal.medial[2], split: middle, lateral: distal.lateral[2] },
    { posterior: (posterior.medial[0] + posterior.lateral[0]) / 2 + 8, anterior: furthestForward(part, topMm) - 2 },
  )
  // From the notch up, wherever the frame's origin was chosen to lie.
  const epicondyles = notch && findEpicondyles(part, notch[1], topMm, lengthMm)
  if (notch === null || epicondyles === null) return null
  const cylinder = wantsCylinder ? fitCondylarCylinder(part, posterior, topMm) : null
  return { posterior, distal, epicondyles, notch, cylinder }
}

function furthestForward(part: Mesh, topMm: number): number {
  let most = Number.NEGATIVE_INFINITY
  const p = part.positions
  for (let i = 0; i < p.length; i += 3) if (p[i + 1]! <= topMm && p[i]! > most) most = p[i]!
  return most
}
