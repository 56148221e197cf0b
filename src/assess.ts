import { angleDefinitions } from './anatomy/angle-definitions.ts'
import { boneWarnings } from './anatomy/bone-warnings.ts'
import { cylinderArcDeg } from './anatomy/condylar-cylinder.ts'
import { femoralShape } from './anatomy/femoral-shape.ts'
import { findFemur } from './anatomy/find-femur.ts'
import { findTibia } from './anatomy/find-tibia.ts'
import { anatomyFlags } from './anatomy/flags.ts'
import { holdFemur, holdTibia } from './anatomy/hold-landmarks.ts'
import { judgedLandmarks } from './anatomy/judge-landmarks.ts'
import { withEnteredSd } from './anatomy/landmark-sd.ts'
import { type MeasuredAngles, measureAngles } from './anatomy/measure-angles.ts'
import { settleSide } from './anatomy/settle-side.ts'
import { signOffOf } from './anatomy/sign-off.ts'
import type { FemurAnatomy, LandmarkId, LandmarkOverrides, Side, TibiaAnatomy } from './anatomy/terms.ts'
import { toldShape } from './anatomy/told-shape.ts'
import { caseAssumptions, meshesOf, signOffAssumption } from './casefile/case-assumptions.ts'
import { companionsOf, companionWarnings } from './casefile/companions.ts'
import type { CaseDocument } from './casefile/document.ts'
import { programVersion } from './casefile/program.ts'
import { remembered } from './casefile/remembered.ts'
import { ok, type Result, type Warning } from './failure.ts'
import type { BoneFindings, Findings } from './findings.ts'
import type { BoneMesh } from './geometry/bone.ts'
import { boundInside } from './geometry/bounded-bone.ts'
import { section } from './geometry/section.ts'
import type { Vec3 } from './geometry/vec.ts'
import { type LoadMap, type Loads, loadEveryPose } from './loading/loads.ts'
import { type MeasuredPieces, measuredPieces, unobservable } from './planning/measured-pieces.ts'
import { type PlanInput, planCuts } from './planning/plan.ts'
import type { Plan } from './planning/planned.ts'
import { sizeFlags } from './planning/size-flags.ts'
import { tooWide } from './planning/too-wide.ts'
import { type Intervals, intervalSteps, intervalsOf, type UncertaintyInput } from './planning/uncertainty.ts'
import { type Sensitivity, stanceSensitivities } from './stance/sensitivity.ts'
import { type StanceInput, type Stances, standEveryPose } from './stance/stand.ts'

/** The two bones of a case, mm, each in the patient frame of its own file. */
export interface Bones {
  readonly femur: BoneMesh
  readonly tibia: BoneMesh
}

/** Landmarks, frames, side and angles: what the first stage knows. */
export interface Anatomy {
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
  readonly side: Side
  readonly sideSource: Findings['sideSource']
  readonly measured: MeasuredAngles
}

/** Everything one assessment made: the findings, and what views and exports draw from. */
export interface Assessed {
  readonly findings: Findings
  readonly anatomy: Anatomy
  readonly plan: Plan
  /** Pressures for maps on the bearing; empty in the live set. */
  readonly maps: readonly LoadMap[]
}

/**
 * A case and two bones in, every number the program knows out. Pure; stages are remembered by their inputs.
 * `fileWarnings` are those of reading the files; they travel in the findings.
 */
export function assess(document: CaseDocument, bones: Bones, fileWarnings: readonly Warning[] = []): Result<Findings> {
  const assessed = assessFully(document, bones, fileWarnings, 'full')
  return assessed.ok ? ok(assessed.value.findings) : assessed
}

/** `live` leaves out bearing contact, interface pressure and intervals, which take longer than a hand waits; `contact` the intervals alone. */
export type Depth = 'live' | 'contact' | 'full'

/**
 * The same, with anatomy and plan beside the findings for what has to draw or export them. With `held`, landmarks are those
 * of that anatomy but for what is set by hand: it follows a landmark in the hand, the finder has the last word.
 */
export function assessFully(
  document: CaseDocument,
  bones: Bones,
  fileWarnings: readonly Warning[] = [],
  depth: Depth = 'live',
  held: Anatomy | null = null,
): Result<Assessed> {
  const anatomy = held ? ok(heldAnatomy(document, held)) : findAnatomy(document, bones)
  if (!anatomy.ok) return anatomy
  const plan = planStage(document, bones, anatomy.value)
  if (!plan.ok) return plan
  const { femur, tibia, side, measured } = anatomy.value
  const stood: StanceInput = { side, femur, tibia, angles: measured.angles, plan: plan.value, choices: document.stance }
  const stances = standEveryPose(stood)
  if (!stances.ok) return stances
  const loads = loadEveryPose({
    side,
    poses: stances.value.poses,
    tibia,
    plan: plan.value,
    section: depth !== 'live' ? tibialOutlines(plan.value, bones) : null,
    load: document.load,
    bearing: document.bearing,
    rotationKnown: measured.angles.kneePose !== null,
    ownFamily: document.implants.own,
  })
  const input = planInput(document, bones, anatomy.value)
  const intervals = depth === 'full' ? intervalStage(document, anatomy.value, { input, plan: plan.value }) : null
  const pieces = measuredPieces(input, plan.value, document.measured)
  if (!pieces.ok) return pieces
  const findings = compose({
    measured: pieces.value,
    document,
    bones,
    anatomy: anatomy.value,
    plan: plan.value,
    stances: stances.value,
    sensitivities: stanceSensitivities(stood),
    loads,
    fileWarnings,
    intervals,
  })
  return ok({ findings, anatomy: anatomy.value, plan: plan.value, maps: loads.maps })
}

/** Outlines of the resected tibia; none where the cut misses it. */
export function tibialOutlines(plan: Plan, bones: Bones): readonly (readonly Vec3[])[] {
  const cut = plan.cuts.find((c) => c.id === 'tibia')
  if (!cut?.point || !cut.normal) return []
  return section(bones.tibia.tree, { point: cut.point, normal: cut.normal }).loops
}

/**
 * Landmarks, frames, side and angles of a pair of bones, without a plan. A contradiction between the declared side
 * and what shape or position say is a failure.
 */
export function findAnatomy(document: CaseDocument, { femur, tibia }: Bones): Result<Anatomy> {
  const { references, frame, side } = document
  const { sdMm } = document.uncertainty
  const foundFemur = findFemurOf(document, femur)
  if (!foundFemur.ok) return foundFemur
  const firstTibia = findTibiaOf(document, tibia, foundFemur.value)
  if (!firstTibia.ok) return firstTibia
  // A scan too short to tell its side lies on its partner's, found again with that side.
  const hidden = [foundFemur.value, firstTibia.value].map((bone) => bone.sideUnclear === true)
  const sidedByPartner = hidden[0] === hidden[1] ? null : hidden[0] ? 'femur' : 'tibia'
  const againFemur =
    sidedByPartner === 'femur' ? findFemurOf({ ...document, side: firstTibia.value.side }, femur) : foundFemur
  if (!againFemur.ok) return againFemur
  const partner = againFemur.value
  const foundTibia =
    sidedByPartner === 'tibia' ? findTibiaOf({ ...document, side: partner.side }, tibia, partner) : firstTibia
  if (!foundTibia.ok) return foundTibia
  return sideStage([partner, foundTibia.value], { references, side, frame, sdMm }, () => {
    const settled = settleSide({ declared: side, femur: partner, tibia: foundTibia.value, sidedByPartner, frame })
    if (!settled.ok) return settled
    const { side: settledSide, sideSource, warnings } = settled.value
    const shaped = judgedLandmarks(femur.mesh, { ...partner, shape: femoralShape(femur, partner) })
    const judgedTibia = judgedLandmarks(tibia.mesh, foundTibia.value)
    const measured = measureAngles(shaped, judgedTibia, { references, frame })
    return ok({
      femur: withEnteredSd(shaped, sdMm),
      tibia: withEnteredSd(judgedTibia, sdMm),
      side: settledSide,
      sideSource,
      measured: { ...measured, warnings: [...warnings, ...measured.warnings] },
    })
  })
}

/** The femur's part of it, remembered. */
export function findFemurOf({ references, side, landmarks }: CaseDocument, femur: BoneMesh): Result<FemurAnatomy> {
  const overrides = only(landmarks, femoralIds)
  return femurStage([femur], { references, side, overrides }, () =>
    findFemur(femur, { references, overrides, ...(side === null ? {} : { side }) }),
  )
}

/**
 * The tibia's part of it, remembered. It needs the `femur` (or its anatomy is refused) only where the femur's reference is carried over;
 * `made` gives an answer that was found elsewhere by the same document.
 */
export function findTibiaOf(
  { references, side, landmarks }: CaseDocument,
  tibia: BoneMesh,
  femur: FemurAnatomy | null,
  made: Result<TibiaAnatomy> | null = null,
): Result<TibiaAnatomy> {
  const overrides = only(landmarks, tibialIds)
  const partner = references.tibialAnterior === 'femoral' ? femur : null
  return tibiaStage(
    partner ? [tibia, partner] : [tibia],
    { references, side, overrides },
    () =>
      made ??
      findTibia(tibia, {
        references,
        overrides,
        ...(partner ? { femur: partner } : {}),
        ...(side === null ? {} : { side }),
      }),
  )
}

function heldAnatomy({ references, frame, landmarks }: CaseDocument, held: Anatomy): Anatomy {
  const femur = holdFemur(held.femur, only(landmarks, femoralIds), references)
  const tibia = holdTibia(held.tibia, only(landmarks, tibialIds), references, femur)
  const measured = measureAngles(femur, tibia, { references, frame })
  const ofSide = held.measured.warnings.filter(({ code }) => code === 'anatomy/side-from-shape')
  return { ...held, femur, tibia, measured: { ...measured, warnings: [...ofSide, ...measured.warnings] } }
}

const femurStage = remembered<Result<FemurAnatomy>>()
const tibiaStage = remembered<Result<TibiaAnatomy>>()
const sideStage = remembered<Result<Anatomy>>()
const plans = remembered<Result<Plan>>(8)

function planStage(document: CaseDocument, bones: Bones, anatomy: Anatomy): Result<Plan> {
  const input = planInput(document, bones, anatomy)
  return plans([anatomy, bones.femur, bones.tibia], input.choices, () => planCuts(input))
}

/** What planning reads of a case. */
export function planInput(document: CaseDocument, bones: Bones, anatomy: Anatomy): PlanInput {
  const { procedure, recipe, recipeOptions, cuts, implants, wear, cartilage, saw, limits, references } = document
  const { meshSurface } = references
  return {
    femur: anatomy.femur,
    tibia: anatomy.tibia,
    femurBone: bones.femur,
    tibiaBone: bones.tibia,
    angles: anatomy.measured.angles,
    choices: { procedure, recipe, recipeOptions, cuts, implants, wear, cartilage, saw, limits, meshSurface },
  }
}

interface Parts {
  readonly measured: MeasuredPieces | null
  readonly document: CaseDocument
  readonly bones: Bones
  readonly anatomy: Anatomy
  readonly plan: Plan
  readonly stances: Stances
  readonly sensitivities: readonly Sensitivity[]
  readonly loads: Loads
  readonly fileWarnings: readonly Warning[]
  readonly intervals: Result<Intervals> | null
}

function compose(parts: Parts): Findings {
  const { measured, document, bones, anatomy, plan, stances, loads, fileWarnings, intervals } = parts
  const found = withoutPlan(document, bones, anatomy, fileWarnings, intervals)
  return {
    schema: 'floorline.findings/1',
    run: {
      version: programVersion,
      meshes: meshesOf(document),
      companions: companionsOf(document).map(({ part, file }) => ({ part, ...file })),
      seed: document.seed,
    },
    side: found.side,
    sideSource: found.sideSource,
    procedure: plan.procedure,
    recipe: plan.recipe,
    references: found.references,
    assumptions: [
      ...caseAssumptions(document, anatomy.sideSource),
      signOffAssumption(found.signOff),
      ...plan.assumptions,
      ...stances.assumptions,
      ...loads.assumptions,
    ],
    bones: found.bones,
    landmarks: found.landmarks,
    signOff: found.signOff,
    fits: found.fits,
    shape: found.shape,
    angles: found.angles,
    relativePose: found.relativePose,
    anatomyLimits: found.anatomyLimits,
    cuts: plan.cuts,
    femoralPlace: plan.femoralPlace,
    volumes: plan.volumes,
    implants: plan.implants,
    sites: plan.sites,
    coverage: plan.coverage,
    limits: plan.limits,
    corrections: plan.corrections,
    gaps: plan.gaps,
    after: plan.after,
    ...(plan.restriction ? { restriction: plan.restriction } : {}),
    consequences: plan.consequences,
    ...(plan.conversion ? { conversion: plan.conversion } : {}),
    ...(measured ? { measured } : {}),
    stance: stances.poses,
    sensitivities: parts.sensitivities,
    loading: loads.loads,
    intervals: found.intervals,
    definitions: found.definitions,
    flags: [...found.flags, ...sizeFlags(plan, document.implants.own)],
    uncertainty: found.uncertainty,
    warnings: [
      ...found.warnings,
      ...plan.warnings,
      ...(measured ? unobservable(measured) : []),
      ...stances.warnings,
      ...loads.warnings,
    ],
  }
}

/** The part of the findings that needs no plan. */
export type AnatomyFindings = Pick<
  Findings,
  | 'side'
  | 'sideSource'
  | 'references'
  | 'bones'
  | 'landmarks'
  | 'signOff'
  | 'fits'
  | 'shape'
  | 'angles'
  | 'relativePose'
  | 'anatomyLimits'
  | 'definitions'
  | 'flags'
  | 'intervals'
  | 'uncertainty'
  | 'warnings'
>

/** What is known before anything is planned: landmarks, fits, angles and how sure they are. `fileWarnings` come from reading the files. */
export function anatomyFindings(
  document: CaseDocument,
  bones: Bones,
  anatomy: Anatomy,
  fileWarnings: readonly Warning[] = [],
): AnatomyFindings {
  return withoutPlan(document, bones, anatomy, fileWarnings, intervalStage(document, anatomy))
}

function withoutPlan(
  document: CaseDocument,
  bones: Bones,
  { femur, tibia, side, sideSource, measured }: Anatomy,
  fileWarnings: readonly Warning[],
  intervals: Result<Intervals> | null,
): AnatomyFindings {
  return {
    side,
    sideSource,
    references: document.references,
    bones: { femur: boneFindings(bones.femur, femur.truncated), tibia: boneFindings(bones.tibia, tibia.truncated) },
    landmarks: { ...femur.landmarks, ...tibia.landmarks },
    signOff: signOffOf(document.signedLandmarks, { ...femur.landmarks, ...tibia.landmarks }),
    fits: {
      femoralHead: headFit(femur, document),
      condylarCylinder: femur.condylarCylinder && {
        radiusMm: femur.condylarCylinder.radiusMm,
        rmsMm: femur.condylarCylinder.rmsMm,
        arcDeg: cylinderArcDeg,
      },
    },
    shape: toldShape(femur),
    angles: measured.angles,
    relativePose: toldPose(measured.relativePose),
    anatomyLimits: document.anatomyLimits,
    definitions: angleDefinitions(femur, tibia, document.references, measured.relativePose.shared),
    flags: anatomyFlags({ femur, tibia }, measured.angles, document.anatomyLimits),
    intervals: intervals?.ok ? intervals.value.intervals : null,
    uncertainty: intervals?.ok ? intervals.value.uncertainty : null,
    warnings: [
      ...fileWarnings,
      ...boneWarnings(bones, femur),
      ...companionWarnings(document),
      ...measured.warnings,
      ...(intervals?.ok ? tooWide(intervals.value.intervals) : [noIntervals(intervals)]),
    ],
  }
}

/**
 * Prepares the intervals of a case whose plan stands, step by step (0…1), so that a worker can report, yield and cancel; `assess`
 * then finds them made. A case that cannot be planned, or whose intervals are there, takes no step.
 */
export function* prepareIntervals(document: CaseDocument, bones: Bones): Generator<number, void> {
  const anatomy = findAnatomy(document, bones)
  const plan = anatomy.ok ? planStage(document, bones, anatomy.value) : anatomy
  if (!anatomy.ok || !plan.ok) return
  const planned = { input: planInput(document, bones, anatomy.value), plan: plan.value }
  const { things, choices, input } = intervalInput(document, anatomy.value, planned)
  if (intervalsKept.knows(things, choices)) return
  const made = yield* intervalSteps(input)
  intervalsKept(things, choices, () => made)
}

function intervalInput(document: CaseDocument, anatomy: Anatomy, planned: UncertaintyInput['planned']) {
  const { references, uncertainty: choices, seed } = document
  return {
    things: planned ? [anatomy, planned.plan] : [anatomy],
    choices: { references, choices, seed },
    input: { knee: anatomy, shared: anatomy.measured.relativePose.shared, references, choices, seed, planned },
  }
}

function intervalStage(
  document: CaseDocument,
  anatomy: Anatomy,
  planned?: UncertaintyInput['planned'],
): Result<Intervals> {
  const { things, choices, input } = intervalInput(document, anatomy, planned)
  return intervalsKept(things, choices, () => intervalsOf(input))
}

const intervalsKept = remembered<Result<Intervals>>()

const noIntervals = (intervals: Result<Intervals> | null): Warning => ({
  code: intervals === null ? 'intervals/updating' : 'intervals/none',
  message:
    intervals === null || intervals.ok
      ? 'Intervals follow when the hand rests.'
      : `There are no intervals: ${intervals.failure.message}`,
  spoils: ['intervals', 'uncertainty'],
})

/** The judged pose, with a reason only where it is refused. */
const toldPose = ({ shared, reason, checks }: MeasuredAngles['relativePose']): Findings['relativePose'] => ({
  shared,
  checks,
  ...(reason === null ? {} : { reason }),
})

/** The sphere of the head on the femur's own mesh, or in a file of its own. */
function headFit({ head }: FemurAnatomy, { landmarks }: CaseDocument): Findings['fits']['femoralHead'] {
  const from = landmarks.hipCentre?.from
  const read = from && from.radiusMm !== null && from.residualMm !== null
  if (read) return { radiusMm: from.radiusMm, rmsMm: from.residualMm }
  return head && { radiusMm: head.radiusMm, rmsMm: head.rmsMm }
}

const boneFindings = (bone: BoneMesh, truncated: boolean): BoneFindings => ({
  triangles: bone.mesh.triangles.length / 3,
  closed: bone.closed,
  volumeMm3: bone.volumeMm3,
  volumeBoundMm3: boundInside(bone, []),
  truncated,
})

const femoralIds: readonly LandmarkId[] = [
  'hipCentre',
  'femoralKneeCentre',
  'condyleDistalMedial',
  'condyleDistalLateral',
  'condylePosteriorMedial',
  'condylePosteriorLateral',
  'epicondyleMedial',
  'epicondyleLateral',
  'notchCentre',
]
const tibialIds: readonly LandmarkId[] = [
  'tibialKneeCentre',
  'plateauMedial',
  'plateauLateral',
  'spinesCentre',
  'posteriorNotch',
  'tubercle',
  'tubercleMedialThird',
  'malleolusMedial',
  'malleolusLateral',
  'ankleCentre',
]

function only(overrides: LandmarkOverrides, ids: readonly LandmarkId[]): LandmarkOverrides {
  return Object.fromEntries(Object.entries(overrides).filter(([id]) => ids.includes(id as LandmarkId)))
}
