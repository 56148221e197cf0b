import type { Bones } from '../assess.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'

/** The bones the engine holds, by hash, each with its tree. */
export type BoneShelf = Map<string, BoneMesh>

/** Both bones of a case, or which one is missing. */
export function bonesOf(shelf: BoneShelf, { meshes }: Pick<CaseDocument, 'meshes'>): Result<Bones> {
  const femur = meshes.femur && shelf.get(meshes.femur.sha256)
  const tibia = meshes.tibia && shelf.get(meshes.tibia.sha256)
  if (!femur) return fail('case/mesh-missing', 'The femur of this case is not open.', { hint: 'Open it again.' })
  if (!tibia) return fail('case/mesh-missing', 'The tibia of this case is not open.', { hint: 'Open it again.' })
  return ok({ femur, tibia })
}
