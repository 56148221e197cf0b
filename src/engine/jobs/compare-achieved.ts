import { assessFully } from '../../assess.ts'
import { boneFromBytes } from '../../casefile/bone-from-bytes.ts'
import type { Result } from '../../failure.ts'
import { type AchievedOnBone, achievedOnBone } from '../../planning/achieved-in-frame.ts'
import { type BoneShelf, bonesOf } from '../bone-shelf.ts'
import type { JobContext, JobInput } from '../contract.ts'

/** Reads a bone after its cuts, lays it on the uncut one where needed, and compares the planes with the plan's. */
export async function compareAchieved(
  shelf: BoneShelf,
  { document, bone, file, name, unitFactor }: JobInput<'achieved'>,
  context: JobContext,
): Promise<Result<AchievedOnBone>> {
  const bones = bonesOf(shelf, document)
  if (!bones.ok) return bones
  context.progress(0, 'reading')
  const after = boneFromBytes(new Uint8Array(await file.arrayBuffer()), name, unitFactor)
  if (!after.ok) return after
  context.progress(0.2, 'planning')
  const assessed = assessFully(document, bones.value)
  if (!assessed.ok) return assessed
  context.progress(0.5, 'laying it on the bone')
  const { plan, anatomy } = assessed.value
  return achievedOnBone(plan, anatomy, { bone, before: bones.value[bone] }, after.value.bone.mesh)
}
