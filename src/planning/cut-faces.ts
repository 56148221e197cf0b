import type { BoneMesh } from '../geometry/bone.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { loopMeasures, section } from '../geometry/section.ts'
import { lerp, type Vec3 } from '../geometry/vec.ts'

/** Area of a cut's face as it is sawn: its section of the bone on the positive side of the block and of every earlier cut, mm². */
export function cutFaceMm2(
  bone: BoneMesh,
  plane: Plane,
  within: readonly Plane[],
  outlineOf: OutlineOf = freshOutline(bone),
): number {
  return loopMeasures(cutFaceLoops(bone, plane, within, outlineOf), plane).areaMm2
}

/** The outlines of that face, patient frame, mm; holes run the other way round. None where the plane misses. */
export function cutFaceLoops(
  bone: BoneMesh,
  plane: Plane,
  within: readonly Plane[],
  outlineOf: OutlineOf = freshOutline(bone),
): readonly (readonly Vec3[])[] {
  return outlineOf(plane)
    .map((loop) => within.reduce(clipLoop, loop))
    .filter((loop) => loop.length >= 3)
}

/** The whole outline of a bone in a plane, before anything is clipped off it. */
export type OutlineOf = (plane: Plane) => readonly (readonly Vec3[])[]

const freshOutline =
  (bone: BoneMesh): OutlineOf =>
  (plane) =>
    section(bone.tree, plane).loops

/** The same, sectioned once per plane object: several cuts of one bone ask for the same faces. */
export function keptOutlines(bone: BoneMesh): OutlineOf {
  const kept = new Map<Plane, readonly (readonly Vec3[])[]>()
  return (plane) => {
    const known = kept.get(plane)
    if (known) return known
    const { loops } = section(bone.tree, plane)
    kept.set(plane, loops)
    return loops
  }
}

/** Sutherland and Hodgman, Comm ACM 1974: the part of a loop on the positive side; coincident edges it leaves carry no area. */
function clipLoop(loop: readonly Vec3[], by: Plane): readonly Vec3[] {
  const out: Vec3[] = []
  let a = loop[loop.length - 1]
  if (a === undefined) return out
  let da = signedDistance(by, a)
  for (const b of loop) {
    const db = signedDistance(by, b)
    if (da >= 0 !== db >= 0) out.push(lerp(a, b, da / (da - db)))
    if (db >= 0) out.push(b)
    a = b
    da = db
  }
  return out
}
