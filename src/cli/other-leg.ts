import { basename } from 'node:path'
import type { Bones } from '../assess.ts'
import { boneFromBytes } from '../casefile/bone-from-bytes.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { sha256 } from '../casefile/hash.ts'
import { fail, ok, type Result } from '../failure.ts'
import { otherLegOf } from '../studies/other-leg-of.ts'
import { readBytes } from './files.ts'

/** Files of the other leg. */
export interface OtherLegOptions {
  readonly otherFemur?: string
  readonly otherTibia?: string
}

/** The case standing beside its own other leg, measured on those files; without them as it was. */
export async function withOtherLeg(
  document: CaseDocument,
  bones: Bones,
  { otherFemur, otherTibia }: OtherLegOptions,
): Promise<Result<CaseDocument>> {
  if (otherFemur === undefined && otherTibia === undefined) return ok(document)
  if (otherFemur === undefined || otherTibia === undefined)
    return fail('cli/usage', 'Name both --other-femur and --other-tibia.', { place: 'arguments' })
  const read = async (path: string, bone: 'femur' | 'tibia') => {
    const bytes = readBytes(path)
    if (!bytes.ok) return bytes
    const made = boneFromBytes(bytes.value, basename(path), null, { bone })
    return made.ok ? ok({ bone: made.value.bone, hash: await sha256(bytes.value) }) : made
  }
  const femur = await read(otherFemur, 'femur')
  if (!femur.ok) return femur
  const tibia = await read(otherTibia, 'tibia')
  if (!tibia.ok) return tibia
  const files = [femur.value.hash, tibia.value.hash]
  const other = otherLegOf(document, bones, { femur: femur.value.bone, tibia: tibia.value.bone }, files)
  return other.ok ? ok({ ...document, stance: { ...document.stance, other: other.value } }) : other
}
