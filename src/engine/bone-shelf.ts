import type { Bones } from '../casefile/case-anatomy.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { meshKey } from '../casefile/mesh-key.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'

/** The bones the engine holds, by key (`meshKey`), each with its tree. */
export type BoneShelf = Map<string, BoneMesh>

/** Both bones of a case, or which one is missing. */
export function bonesOf(shelf: BoneShelf, { meshes }: Pick<CaseDocument, 'meshes'>): Result<Bones> {
  const femur = meshes.femur && shelf.get(meshKey(meshes.femur))
  const tibia = meshes.tibia && shelf.get(meshKey(meshes.tibia))
  if (!femur) return fail('case/mesh-missing', 'The femur of this case is not open.', { hint: 'Open it again.' })
  if (!tibia) return fail('case/mesh-missing', 'The tibia of this case is not open.', { hint: 'Open it again.' })
  return ok({ femur, tibia })
}
