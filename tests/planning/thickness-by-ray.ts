import { expect } from 'vitest'
import { type Plane, signedDistance } from '../../src/geometry/plane.ts'
import { allHits } from '../../src/geometry/query.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { addScaled, type Vec3 } from '../../src/geometry/vec.ts'
import { pieces } from '../../src/planning/pieces.ts'
import type { PlanInput } from '../../src/planning/plan.ts'
import type { Plan } from '../../src/planning/planned.ts'
import type { SiteId } from '../../src/planning/terms.ts'
import { expectOk } from '../near.ts'

/** Distance from a point of the surface to the cut, by a ray along the cut normal through the mesh of everything removed there. */
export function thicknessByRay(input: PlanInput, plan: Plan, id: SiteId, at: Vec3): number {
  const bone = id.startsWith('tibia') ? input.tibiaBone : input.femurBone
  const cutId = id.startsWith('tibia') ? 'tibia' : id.startsWith('femur-distal') ? 'femur-distal' : 'femur-posterior'
  const cut = plan.cuts.find((c) => c.id === cutId)!
  const plane: Plane = { point: cut.point!, normal: cut.normal! }
  const outside = addScaled(at, plane.normal, -30)
  const entry = allHits(bone.tree, outside, plane.normal)
    .filter((hit) => hit.entering)
    .reduce((best, hit) => (Math.abs(hit.distanceMm - 30) < Math.abs(best - 30) ? hit.distanceMm : best), 0)
  // The removed solid runs from that surface to the plane: its far wall must lie on the plane.
  const made = expectOk(pieces(plan, { femur: input.femurBone, tibia: input.tibiaBone }))
  const far = made
    .filter((piece) => piece.id !== 'femur-kept' && piece.id !== 'tibia-kept')
    .flatMap((piece) => allHits(buildTree(piece.mesh), outside, plane.normal))
    .map((hit) => hit.distanceMm)
    .filter((mm) => Math.abs(signedDistance(plane, addScaled(outside, plane.normal, mm))) < 1e-6)
  expect(far.length, `${id}: no wall of a removed piece on the plane`).toBeGreaterThan(0)
  return far[0]! - entry
}
