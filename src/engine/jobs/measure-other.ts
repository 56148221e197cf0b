import { guessBone } from '../../anatomy/guess-bone.ts'
import type { BoneName } from '../../anatomy/terms.ts'
import { boneFromBytes } from '../../casefile/bone-from-bytes.ts'
import { sha256 } from '../../casefile/hash.ts'
import { fail, ok, type Result } from '../../failure.ts'
import type { BoneMesh } from '../../geometry/bone.ts'
import { otherLegOf } from '../../studies/other-leg-of.ts'
import { type BoneShelf, bonesOf } from '../bone-shelf.ts'
import type { JobContext, JobInput, JobOutput } from '../contract.ts'
import { lightMesh } from '../light-mesh.ts'

/** Reads the other leg's femur and tibia, tells them apart by shape, and measures what a stance needs of them. */
export async function measureOther(
  shelf: BoneShelf,
  { document, files }: JobInput<'measure-other-leg'>,
  context: JobContext,
): Promise<Result<JobOutput<'measure-other-leg'>>> {
  const bones = bonesOf(shelf, document)
  if (!bones.ok) return bones
  const found: Partial<Record<BoneName, { readonly bone: BoneMesh; readonly hash: string }>> = {}
  for (const [k, { file, name }] of files.entries()) {
    context.progress(k / (files.length + 1), `reading ${name}`)
    const bytes = new Uint8Array(await file.arrayBuffer())
    const read = boneFromBytes(bytes, name, null)
    if (!read.ok) return read
    const guess = guessBone(read.value.bone).bone
    if (guess !== 'unknown') found[guess] = { bone: read.value.bone, hash: await sha256(bytes) }
  }
  const { femur, tibia } = found
  if (!(femur && tibia))
    return fail('case/mesh-missing', 'The other leg needs one femur and one tibia.', {
      hint: 'Choose both files at once.',
    })
  context.progress(files.length / (files.length + 1), 'finding its landmarks')
  const hashes = [femur.hash, tibia.hash]
  const leg = otherLegOf(document, bones.value, { femur: femur.bone, tibia: tibia.bone }, hashes)
  if (!leg.ok) return leg
  const display = { femur: lightMesh(femur.bone.mesh), tibia: lightMesh(tibia.bone.mesh) }
  return ok({ ...leg.value, display })
}
