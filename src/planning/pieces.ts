import type { BoneName } from '../anatomy/terms.ts'
import { ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { clip } from '../geometry/clip.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { Plane } from '../geometry/plane.ts'
import type { Plan } from './planned.ts'
import { rejoin } from './rejoin.ts'
import type { CutId } from './terms.ts'

/** A bone after the cuts, or what one cut takes (kerf slab included), as a closed mesh in the bone's patient frame. */
export interface Piece {
  readonly id: CutId | 'femur-kept' | 'tibia-kept'
  readonly bone: BoneName
  readonly mesh: Mesh
}

/**
 * Carries the plan out on the meshes, in cutting order: kept bones first, then the removed pieces (a cut that takes nothing
 * gives none). `cut/touches-open-boundary` when a cut runs through a hole of an open bone.
 */
export function pieces(
  plan: Plan,
  bones: { readonly femur: BoneMesh; readonly tibia: BoneMesh },
): Result<readonly Piece[]> {
  const tibia = cutInTurn(bones.tibia.mesh, planesOf(plan, 'tibia'))
  if (!tibia.ok) return tibia
  const block = clip(bones.femur.mesh, plan.femoralBlock)
  if (!block.ok) return block
  const femur = cutInTurn(block.value.kept, planesOf(plan, 'femur'))
  if (!femur.ok) return femur
  const taken = femur.value.removed.map(({ mesh }) => mesh)
  const keptFemur = rejoin(femur.value.kept, block.value.removed, taken, plan.femoralBlock)
  return ok([
    { id: 'femur-kept', bone: 'femur', mesh: keptFemur },
    { id: 'tibia-kept', bone: 'tibia', mesh: tibia.value.kept },
    ...femur.value.removed.map(({ id, mesh }): Piece => ({ id, bone: 'femur', mesh })),
    ...tibia.value.removed.map(({ id, mesh }): Piece => ({ id, bone: 'tibia', mesh })),
  ])
}

interface CutPlane {
  readonly id: CutId
  readonly plane: Plane
}

function planesOf(plan: Plan, bone: BoneName): readonly CutPlane[] {
  return plan.cuts.flatMap(({ id, bone: owner, point, normal }) =>
    owner === bone && point !== null && normal !== null ? [{ id, plane: { point, normal } }] : [],
  )
}

function cutInTurn(
  whole: Mesh,
  cuts: readonly CutPlane[],
): Result<{ readonly kept: Mesh; readonly removed: readonly { readonly id: CutId; readonly mesh: Mesh }[] }> {
  let kept = whole
  const removed: { id: CutId; mesh: Mesh }[] = []
  for (const { id, plane } of cuts) {
    const parts = clip(kept, plane)
    if (!parts.ok) return parts
    kept = parts.value.kept
    if (parts.value.removed.triangles.length > 0) removed.push({ id, mesh: parts.value.removed })
  }
  return ok({ kept, removed })
}
