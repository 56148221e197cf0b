import { basename } from 'node:path'
import type { Command } from 'commander'
import { type Companion, measureCompanions } from '../anatomy/measure-companions.ts'
import { type CompanionName, companionNames, type LandmarkId } from '../anatomy/terms.ts'
import { boneFromBytes } from '../casefile/bone-from-bytes.ts'
import { type Bones, findFemurOf, findTibiaOf } from '../casefile/case-anatomy.ts'
import { caseBone } from '../casefile/case-bone.ts'
import { withCompanions as joined, kneeAlone } from '../casefile/companions.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { sha256 } from '../casefile/hash.ts'
import { fail, ok, type Result, type Warning } from '../failure.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { type LengthUnit, MM_PER_UNIT } from '../geometry/units.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { readBytes } from './files.ts'

/** Small files beside the knee's that carry a joint centre. */
export interface CompanionOptions {
  readonly hipMesh?: string
  readonly ankleMesh?: string
  readonly fibula?: string
  readonly hip?: Vec3
  readonly ankle?: Vec3
  readonly unit?: LengthUnit
}

/** Adds the options that name companion files. */
export const withCompanionOptions = (command: Command): Command =>
  command
    .option(
      '--hip-mesh <file>',
      'femoral head alone (or any proximal femur) in the femur file’s frame: gives the hip centre',
    )
    .option(
      '--ankle-mesh <file>',
      'distal tibia alone in the tibia file’s frame: gives ankle centre and medial malleolus',
    )
    .option('--fibula <file>', 'fibula, or its lower end, in the tibia file’s frame: gives the lateral malleolus')

export interface WithCompanions {
  readonly document: CaseDocument
  /** Their files under their SHA-256, for a case that is written. */
  readonly files: ReadonlyMap<string, Uint8Array>
  readonly warnings: readonly Warning[]
}

/** A part of the leg that lies in one file with a bone. */
export interface Slab extends Omit<Companion, 'bone'> {
  /** The whole file, in its own units. */
  readonly mesh: Mesh
}

/**
 * The case with the landmarks that its companion files give, or the slabs beside its bones where nothing else says the point; without
 * any as it was. The first named file that cannot be used is a failure; a slab that cannot be used is left.
 */
export async function withCompanions(
  document: CaseDocument,
  bones: Bones,
  options: CompanionOptions,
  slabs: readonly Slab[],
): Promise<Result<WithCompanions>> {
  const paths: Readonly<Record<CompanionName, string | undefined>> = {
    'femoral-head': options.hipMesh,
    'distal-tibia': options.ankleMesh,
    fibula: options.fibula,
  }
  if (options.hip && options.hipMesh) return twice('--hip', '--hip-mesh')
  if (options.ankle && options.ankleMesh) return twice('--ankle', '--ankle-mesh')
  const files = new Map<string, Uint8Array>()
  const warnings: Warning[] = []
  const companions: Companion[] = []
  for (const part of companionNames) {
    const path = paths[part]
    if (path === undefined) continue
    const bytes = readBytes(path)
    if (!bytes.ok) return bytes
    const name = basename(path)
    const opened = boneFromBytes(bytes.value, name, options.unit ? MM_PER_UNIT[options.unit] : null)
    if (!opened.ok) return opened
    const hash = await sha256(bytes.value)
    files.set(hash, bytes.value)
    warnings.push(...opened.value.warnings)
    const { bone, unitFactor } = opened.value
    companions.push({ part, file: { sha256: hash, name, unitFactor, repairs: [] }, bone })
  }
  const named = new Set(companions.map(({ part }) => part))
  for (const { part, file, mesh } of slabs) {
    if (named.has(part) || document.landmarks[pointOf[part]]) continue
    named.add(part)
    const bone = caseBone(mesh, file)
    if (bone.ok) companions.push({ part, file, bone: bone.value.bone })
  }
  if (companions.length === 0) return ok({ document, files, warnings })
  const alone = kneeAlone(document)
  const femur = findFemurOf(alone, bones.femur)
  if (!femur.ok) return femur
  const tibia = findTibiaOf(alone, bones.tibia, femur.value)
  if (!tibia.ok) return tibia
  const { landmarks, failures } = measureCompanions(companions, { femur: femur.value, tibia: tibia.value })
  const failure = failures.find(({ place }) =>
    [...Object.values(paths)].some((path) => path && basename(path) === place),
  )
  return failure ? { ok: false, failure } : ok({ document: joined(document, landmarks), files, warnings })
}

const pointOf: Readonly<Record<CompanionName, LandmarkId>> = {
  'femoral-head': 'hipCentre',
  'distal-tibia': 'ankleCentre',
  fibula: 'malleolusLateral',
}

const twice = (a: string, b: string) =>
  fail('cli/usage', `${a} and ${b} say the same; name one of them.`, { place: 'arguments' })
