import { type Companion, measureCompanions } from '../../anatomy/measure-companions.ts'
import { findFemurOf, findTibiaOf } from '../../casefile/case-anatomy.ts'
import { kneeAlone } from '../../casefile/companions.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import { ok, type Result } from '../../failure.ts'
import { makeBoundedBone } from '../../geometry/bounded-bone.ts'
import type { BoneShelf } from '../bone-shelf.ts'
import type { JobInput, JobOutput } from '../contract.ts'

/** Measures companion files beside those of the case's bones that are on the shelf and can be read. */
export function companionsBesideKnee(
  shelf: BoneShelf,
  { document, companions }: JobInput<'measure-companions'>,
): Result<JobOutput<'measure-companions'>> {
  const alone = kneeAlone(document)
  const { femur, tibia } = document.meshes
  const [femurBone, tibiaBone] = [femur, tibia].map((mesh) => (mesh ? shelf.get(meshKey(mesh)) : undefined))
  const foundFemur = femurBone ? findFemurOf(alone, femurBone) : null
  const femurAnatomy = foundFemur?.ok ? foundFemur.value : null
  const foundTibia = tibiaBone ? findTibiaOf(alone, tibiaBone, femurAnatomy) : null
  const made: Companion[] = []
  for (const { part, file, mesh } of companions) {
    const bone = makeBoundedBone(mesh)
    if (!bone.ok) return bone
    made.push({ part, file, bone: bone.value })
  }
  return ok(measureCompanions(made, { femur: femurAnatomy, tibia: foundTibia?.ok ? foundTibia.value : null }))
}
