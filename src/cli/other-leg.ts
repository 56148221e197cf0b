import { basename } from 'node:path'
import { boneFromBytes } from '../casefile/bone-from-bytes.ts'
import type { Bones } from '../casefile/case-anatomy.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { sha256 } from '../casefile/hash.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { OtherLegBones } from '../stance/stand-other-leg.ts'
import { otherLegOf } from '../studies/other-leg-of.ts'
import { readBytes } from './files.ts'

/** Files of the other leg. */
export interface OtherLegOptions {
  readonly otherFemur?: string
  readonly otherTibia?: string
}

/** The case standing beside its other leg, and that leg's bones for the drawing; null where they are not at hand. */
export interface BesideOtherLeg {
  readonly document: CaseDocument
  readonly otherBones: OtherLegBones | null
  /** Its files under their SHA-256, for a case that is written. */
  readonly files: ReadonlyMap<string, Uint8Array>
}

/**
 * The case standing beside its own other leg, measured on the named files; without them as it was, with the other leg's
 * bones where the case file holds them.
 */
export async function withOtherLeg(
  document: CaseDocument,
  bones: Bones,
  { otherFemur, otherTibia }: OtherLegOptions,
  held: ReadonlyMap<string, Uint8Array>,
): Promise<Result<BesideOtherLeg>> {
  if (otherFemur === undefined && otherTibia === undefined) return asKept(document, bones, held)
  if (otherFemur === undefined || otherTibia === undefined)
    return fail('cli/usage', 'Name both --other-femur and --other-tibia.', { place: 'arguments' })
  const femur = readBytes(otherFemur)
  if (!femur.ok) return femur
  const tibia = readBytes(otherTibia)
  if (!tibia.ok) return tibia
  const names = [basename(otherFemur), basename(otherTibia)] as const
  return beside(document, bones, [femur.value, tibia.value], names)
}

/** Bones that the case holds are found again; one that can no longer be used stays out of the drawing only. */
async function asKept(
  document: CaseDocument,
  bones: Bones,
  held: ReadonlyMap<string, Uint8Array>,
): Promise<Result<BesideOtherLeg>> {
  const none = { document, otherBones: null, files: new Map<string, Uint8Array>() }
  const [femur, tibia] = (document.stance.other?.files ?? []).map((hash) => held.get(hash))
  if (!femur || !tibia) return ok(none)
  const found = await beside(document, bones, [femur, tibia], ['other femur', 'other tibia'])
  return ok(found.ok ? { ...found.value, document } : none)
}

async function beside(
  document: CaseDocument,
  bones: Bones,
  [femurBytes, tibiaBytes]: readonly [Uint8Array, Uint8Array],
  [femurName, tibiaName]: readonly [string, string],
): Promise<Result<BesideOtherLeg>> {
  const femur = boneFromBytes(femurBytes, femurName, null, { bone: 'femur' })
  if (!femur.ok) return femur
  const tibia = boneFromBytes(tibiaBytes, tibiaName, null, { bone: 'tibia' })
  if (!tibia.ok) return tibia
  const hashes = [await sha256(femurBytes), await sha256(tibiaBytes)] as const
  const other = otherLegOf(document, bones, { femur: femur.value.bone, tibia: tibia.value.bone }, hashes)
  if (!other.ok) return other
  return ok({
    document: { ...document, stance: { ...document.stance, other: other.value.measured } },
    otherBones: other.value.bones,
    files: new Map([
      [hashes[0], femurBytes],
      [hashes[1], tibiaBytes],
    ]),
  })
}
