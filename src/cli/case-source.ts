import { basename } from 'node:path'
import { type Command, InvalidArgumentError, Option } from 'commander'
import type { BoneName, PatientFrame, Side } from '../anatomy/terms.ts'
import { boneFromBytes, type OpenedBone } from '../casefile/bone-from-bytes.ts'
import { type Bones, findTibiaOf, isFoundAlone } from '../casefile/case-anatomy.ts'
import { looksLikeContainer, type MeshBytes, readContainer } from '../casefile/container.ts'
import { type CaseDocument, type MeshReference, newCase } from '../casefile/document.ts'
import { sha256 } from '../casefile/hash.ts'
import { setAssignment } from '../casefile/set-path.ts'
import { fail, ok, type Result, type Warning } from '../failure.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { MM_PER_UNIT } from '../geometry/units.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { type Procedure, type RecipeName, recipeNames } from '../planning/terms.ts'
import type { OtherLegBones } from '../stance/stand-other-leg.ts'
import { type ProfileOptions, withProfiles } from './bearing-profiles.ts'
import { type CompanionOptions, type Slab, withCompanionOptions, withCompanions } from './companions.ts'
import { type ComponentOptions, withComponents } from './components.ts'
import { type DriveOptions, driveTexts, withDrivenCuts } from './drive-cuts.ts'
import { type FemurThread, startFemurThread } from './femur-thread.ts'
import { readBytes } from './files.ts'
import { type OtherLegOptions, withOtherLeg } from './other-leg.ts'

/** Options that say which bones and which case. */
export interface CaseOptions extends ProfileOptions, ComponentOptions, CompanionOptions, DriveOptions, OtherLegOptions {
  readonly femur?: string
  readonly tibia?: string
  readonly side?: Side
  readonly frame?: PatientFrame
  readonly procedure?: Procedure
  readonly recipe?: RecipeName
  readonly set?: readonly string[]
}

/** A case with its bones, ready to assess. */
export interface OpenedCase {
  readonly document: CaseDocument
  readonly bones: Bones
  /** As the files have them, welded, in file units. */
  readonly fileMeshes: { readonly femur: Mesh; readonly tibia: Mesh }
  /** The bytes of its mesh files, under their hashes. */
  readonly meshes: MeshBytes
  readonly warnings: readonly Warning[]
  /** The other leg's own bones, for the drawing; null where they are not at hand. */
  readonly otherBones: OtherLegBones | null
}

/** Adds the options that name bones. */
export function withBoneOptions(command: Command): Command {
  const named = command
    .option('--femur <file>', 'femur, STL or PLY')
    .option('--tibia <file>', 'tibia, STL or PLY')
    .addOption(new Option('--side <side>', 'declared side').choices(['left', 'right']))
    .addOption(new Option('--frame <frame>', 'declared patient frame of both files').choices(['lps', 'ras', 'unknown']))
    .addOption(
      new Option('--unit <unit>', 'unit of both files; needed where their size is not that of a bone in mm').choices(
        Object.keys(MM_PER_UNIT),
      ),
    )
    .option('--hip <x,y,z>', 'hip centre in the femur’s file, mm', triple)
    .option('--ankle <x,y,z>', 'ankle centre in the tibia’s file, mm', triple)
  return withCompanionOptions(named)
}

/** Adds the options that change the plan. */
export function withPlanOptions(command: Command): Command {
  return withBoneOptions(command)
    .addOption(new Option('--procedure <name>', 'total or medial partial knee').choices(['total', 'medial-partial']))
    .addOption(new Option('--recipe <name>', 'alignment recipe').choices(recipeNames))
    .option(
      '--condyle-profile <file>',
      'own condyle surface: CSV direction,at_mm,height_mm, or one condyle as STL or PLY',
    )
    .option('--other-femur <file>', 'femur of the other leg: its length tilts the pelvis, its hip gives the spacing')
    .option('--other-tibia <file>', 'tibia of the other leg; both or neither')
    .option('--components <file>', 'own component table, CSV or JSON as “components --out” writes it')
    .option('--dish-profile <file>', 'own insert surface: the same for one dish')
    .option(
      '--drive <cut=shape>',
      'lay any cut (tibia, tibia-vertical, femur-distal, femur-anterior, femur-posterior, femur-chamfer-posterior, femur-chamfer-anterior) by a plane or axis of yours in the bone’s file, mm: plane:X,Y,Z,NX,NY,NZ or axis:DX,DY,DZ; may be given again',
      driveTexts,
      [],
    )
    .option('--set <path=value>', 'set one value of the case; may be given again', gathered, [])
}

/** Options as they stand in a list, checked as the command line would check them. */
export function parsedOptions(raw: Readonly<Record<string, string | readonly string[]>>): Result<CaseOptions> {
  const choices: Readonly<Record<string, readonly string[]>> = {
    side: ['left', 'right'],
    frame: ['lps', 'ras', 'unknown'],
    unit: Object.keys(MM_PER_UNIT),
    procedure: ['total', 'medial-partial'],
    recipe: recipeNames,
  }
  const out: Record<string, unknown> = {}
  for (const [name, value] of Object.entries(raw)) {
    const allowed = choices[name]
    if (allowed && !allowed.includes(String(value)))
      return fail('case/out-of-range', `${name} is one of ${allowed.join(', ')}; “${value}” is not.`, { place: name })
    try {
      out[name] = name === 'hip' || name === 'ankle' ? triple(String(value)) : value
    } catch {
      return fail('case/out-of-range', `${name} is three numbers: X,Y,Z.`, { place: name })
    }
  }
  return ok(out as CaseOptions)
}

/** Opens a case file, or makes a case of two bone files, and applies every option to it. */
export async function openCase(caseFile: string | undefined, options: CaseOptions): Promise<Result<OpenedCase>> {
  const aside = startFemurThread(caseFile ?? options.femur)
  const opened = await openWith(aside, caseFile, options)
  aside?.end()
  return opened
}

async function openWith(
  aside: FemurThread | null,
  caseFile: string | undefined,
  options: CaseOptions,
): Promise<Result<OpenedCase>> {
  const source = caseFile === undefined ? await fromFiles(options) : await fromCaseFile(caseFile, options)
  if (!source.ok) return source
  const document = applied(source.value.document, options)
  if (!document.ok) return document
  const { femur, tibia } = document.value.meshes
  if (!femur || !tibia)
    return fail('case/mesh-missing', `The case holds no ${femur ? 'tibia' : 'femur'}.`, { place: caseFile ?? 'meshes' })
  const shared = femur.sha256 === tibia.sha256
  const openedFemur = openBone(source.value.meshes, 'femur', femur, shared)
  if (!openedFemur.ok) return openedFemur
  const femurFound = aside?.find(document.value, openedFemur.value.bone)
  const openedTibia = openBone(source.value.meshes, 'tibia', tibia, shared)
  if (!openedTibia.ok) return openedTibia
  // While the other thread is at the femur there is time for what will be asked next.
  if (femurFound && isFoundAlone(document.value)) findTibiaOf(document.value, openedTibia.value.bone, null)
  await femurFound
  const bones = { femur: openedFemur.value.bone, tibia: openedTibia.value.bone }
  const meshes = {
    femur: { ...femur, unitFactor: openedFemur.value.unitFactor, repairs: openedFemur.value.repairs },
    tibia: { ...tibia, unitFactor: openedTibia.value.unitFactor, repairs: openedTibia.value.repairs },
  }
  const slabs = [...inSameFile(openedFemur.value, meshes.femur), ...inSameFile(openedTibia.value, meshes.tibia)]
  const joined = await withCompanions({ ...document.value, meshes }, bones, options, slabs)
  if (!joined.ok) return joined
  const driven = withDrivenCuts(joined.value.document, bones, options)
  if (!driven.ok) return driven
  const standing = await withOtherLeg(driven.value, bones, options, source.value.meshes)
  if (!standing.ok) return standing
  return ok({
    document: standing.value.document,
    otherBones: standing.value.otherBones,
    bones,
    fileMeshes: { femur: openedFemur.value.file.mesh, tibia: openedTibia.value.file.mesh },
    meshes: new Map([...source.value.meshes, ...joined.value.files, ...standing.value.files]),
    warnings: [...openedFemur.value.warnings, ...openedTibia.value.warnings, ...joined.value.warnings],
  })
}

/** Stands for “not said” until the file has been looked at. */
const unknownFactor = 0

/** A bone of a case from the bytes of its file. */
function openBone(
  meshes: MeshBytes,
  bone: BoneName,
  { sha256: hash, name, unitFactor, repairs }: MeshReference,
  shared: boolean,
): Result<OpenedBone> {
  const bytes = meshes.get(hash)
  if (!bytes) return fail('case/mesh-missing', `The mesh “${name}” is missing.`, { place: hash })
  return boneFromBytes(bytes, name, unitFactor === unknownFactor ? null : unitFactor, { bone, repairs, shared })
}

/** Parts of the leg beside a bone in the same file, as companions. */
const inSameFile = (
  { companions, file }: OpenedBone,
  { repairs: _own, ...reference }: MeshReference,
): readonly Slab[] =>
  companions.map(({ part, repairs }) => ({ part, file: { ...reference, repairs }, mesh: file.mesh }))

/** The case alone, without its bones: a case file's or a new one, with every option applied. */
export async function documentOf(caseFile: string | undefined, options: CaseOptions): Promise<Result<CaseDocument>> {
  if (caseFile === undefined) return applied(newCase, options)
  const source = await fromCaseFile(caseFile, {})
  return source.ok ? applied(source.value.document, options) : source
}

/** The component table first, so that sizes set after it are of that table. */
function applied(document: CaseDocument, options: CaseOptions): Result<CaseDocument> {
  const equipped = withComponents(document, options)
  if (!equipped.ok) return equipped
  const set = withOptions(equipped.value, options)
  return set.ok ? withProfiles(set.value, options) : set
}

interface Source {
  readonly document: CaseDocument
  readonly meshes: ReadonlyMap<string, Uint8Array>
}

async function fromFiles({ femur, tibia }: CaseOptions): Promise<Result<Source>> {
  if (femur === undefined || tibia === undefined)
    return fail('cli/usage', 'Name a case file, or both --femur and --tibia.', { place: 'arguments' })
  const meshes = new Map<string, Uint8Array>()
  const references: MeshReference[] = []
  for (const path of [femur, tibia]) {
    const bytes = readBytes(path)
    if (!bytes.ok) return bytes
    const hash = await sha256(bytes.value)
    meshes.set(hash, bytes.value)
    references.push({ sha256: hash, name: basename(path), unitFactor: unknownFactor, repairs: [] })
  }
  const [femurReference, tibiaReference] = references
  if (!femurReference || !tibiaReference) return fail('cli/usage', 'Name two bone files.')
  return ok({
    document: { ...newCase, name: 'Knee', meshes: { femur: femurReference, tibia: tibiaReference } },
    meshes,
  })
}

async function fromCaseFile(path: string, { femur, tibia }: CaseOptions): Promise<Result<Source>> {
  if (femur !== undefined || tibia !== undefined)
    return fail('cli/usage', 'Name either a case file or two bone files, not both.', { place: 'arguments' })
  const bytes = readBytes(path)
  if (!bytes.ok) return bytes
  if (!looksLikeContainer(bytes.value))
    return fail('case/syntax', 'This is not a case file.', {
      hint: 'Bone files are named with --femur and --tibia.',
      place: path,
    })
  return readContainer(bytes.value)
}

function withOptions(document: CaseDocument, options: CaseOptions): Result<CaseDocument> {
  const { side, frame, unit, procedure, recipe, hip, ankle } = options
  const landmarks = {
    ...document.landmarks,
    ...(hip ? { hipCentre: { mm: hip, source: 'given' as const } } : {}),
    ...(ankle ? { ankleCentre: { mm: ankle, source: 'given' as const } } : {}),
  }
  const inUnit = (reference: MeshReference | null) =>
    reference && unit ? { ...reference, unitFactor: MM_PER_UNIT[unit] } : reference
  let next: CaseDocument = {
    ...document,
    landmarks,
    meshes: { femur: inUnit(document.meshes.femur), tibia: inUnit(document.meshes.tibia) },
    ...(side ? { side } : {}),
    ...(frame ? { frame } : {}),
    ...(procedure ? { procedure } : {}),
    ...(recipe ? { recipe } : {}),
  }
  for (const assignment of options.set ?? []) {
    const changed = setAssignment(next, assignment)
    if (!changed.ok) return changed
    next = changed.value
  }
  return ok(next)
}

function triple(text: string): Vec3 {
  const parts = text
    .split(',')
    .map((part) => (/^\s*[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?\s*$/i.test(part) ? Number(part) : Number.NaN))
  const [x, y, z] = parts
  if (parts.length !== 3 || x === undefined || y === undefined || z === undefined || !parts.every(Number.isFinite))
    throw new InvalidArgumentError('Write three numbers: X,Y,Z.')
  return [x, y, z]
}

function gathered(assignment: string, before: readonly string[]): readonly string[] {
  if (assignment.indexOf('=') < 1)
    throw new InvalidArgumentError('Write PATH=VALUE, for example cuts.tibia.varusDeg=3.')
  return [...before, assignment]
}
