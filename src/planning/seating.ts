import type { BoneMesh } from '../geometry/bone.ts'
import { flipped, type Plane, signedDistance } from '../geometry/plane.ts'
import { cross, sub, unit } from '../geometry/vec.ts'
import type { ComponentFace } from './component-faces.ts'
import { cutFaceLoops, type OutlineOf } from './cut-faces.ts'

/** Between one face of a component and the bone sawn for it, both ≥ 0, mm. */
export interface Seating {
  /** Widest space left between them. */
  readonly gapMm: number
  /** Farthest the bone stands into the component; the component cannot come to its place before that is taken. */
  readonly interferenceMm: number
}

/**
 * How a component's face lies on the bone sawn for it. Both are flat, so the extremes lie at corners of the bone's face within the
 * component's (`within`: block and earlier cuts). Null where the sawn bone does not reach under the face.
 */
export function seatingOf(
  bone: BoneMesh,
  face: ComponentFace,
  sawn: Plane,
  within: readonly Plane[],
  outlineOf: OutlineOf,
): Seating | null {
  const under = cutFaceLoops(bone, sawn, [...within, ...sidesOf(face)], outlineOf).flat()
  if (under.length === 0) return null
  let gapMm = 0
  let interferenceMm = 0
  for (const p of under) {
    const off = signedDistance(face.plane, p)
    gapMm = Math.max(gapMm, off)
    interferenceMm = Math.max(interferenceMm, -off)
  }
  return { gapMm, interferenceMm }
}

/** Planes that stand on the edges of a face, positive inside. */
function sidesOf({ corners, plane, middle }: ComponentFace): readonly Plane[] {
  return corners.map((point, i) => {
    const along = unit(sub(corners[(i + 1) % corners.length]!, point))
    const normal = unit(cross(plane.normal, along))
    const side = { point, normal }
    return signedDistance(side, middle) < 0 ? flipped(side) : side
  })
}
