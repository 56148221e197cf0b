import { fail, ok, type Result, type Warning } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { makeBoundedBone } from '../geometry/bounded-bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { applyRepairs } from '../geometry/repair.ts'
import { flipWinding, scaleMesh } from '../geometry/transform.ts'
import type { MeshReference } from './document.ts'

/** A bone as the case has it: in mm, repaired, wound outward. */
export interface CaseBone {
  /** Ready for queries; the holes of an open surface are closed by stand-in patches. */
  readonly bone: BoneMesh
  /** The surface itself, holes and all. */
  readonly mesh: Mesh
  readonly warnings: readonly Warning[]
}

/**
 * Makes the bone that a case means from the welded mesh of its file (the file's own units): the unit factor first, then
 * the recorded repairs in their order, then turned outward when its volume says that it is inside out. No faces left:
 * `mesh/no-faces`. Larger than any bone or leg: `unit/too-large`.
 */
export function caseBone(
  fileMesh: Mesh,
  { name, unitFactor, repairs }: Pick<MeshReference, 'name' | 'unitFactor' | 'repairs'>,
): Result<CaseBone> {
  const scaled = unitFactor === 1 ? fileMesh : scaleMesh(fileMesh, unitFactor)
  const largestMm = largestExtent(scaled)
  if (largestMm > MOST_MM)
    return fail('unit/too-large', `${name} would be ${(largestMm / 1000).toPrecision(3)} m large; no bone is.`, {
      hint: 'Choose the unit the file is in.',
      place: name,
    })
  const mesh = applyRepairs(scaled, repairs)
  const made = makeBoundedBone(mesh)
  if (!made.ok) return made
  if (made.value.volumeMm3 === null || made.value.volumeMm3 >= 0) return ok({ bone: made.value, mesh, warnings: [] })
  const turned = { positions: mesh.positions, triangles: flipWinding(mesh.triangles) }
  const outward = makeBoundedBone(turned)
  if (!outward.ok) return outward
  const message = `${name} was wound inside out and has been turned outward.`
  return ok({
    bone: outward.value,
    mesh: turned,
    warnings: [{ code: 'mesh/turned-outward', message, spoils: [] }],
  })
}

/** Beyond any two legs in one file; a femur in mm that is said to be in cm would be more than 3 m long. */
const MOST_MM = 2500

function largestExtent({ positions: p }: Mesh): number {
  let largest = 0
  for (let k = 0; k < 3; k++) {
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (let i = k; i < p.length; i += 3) {
      if (p[i]! < low) low = p[i]!
      if (p[i]! > high) high = p[i]!
    }
    largest = Math.max(largest, high - low)
  }
  return largest
}
