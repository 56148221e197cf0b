import { angleDefinitions } from './anatomy/angle-definitions.ts'
import { boneWarnings } from './anatomy/bone-warnings.ts'
import { cylinderArcDeg } from './anatomy/condylar-cylinder.ts'
import { anatomyFlags } from './anatomy/flags.ts'
import type { MeasuredAngles } from './anatomy/measure-angles.ts'
import { signOffOf } from './anatomy/sign-off.ts'
import type { FemurAnatomy } from './anatomy/terms.ts'
import { toldShape } from './anatomy/told-shape.ts'
import { type Anatomy, type Bones, findAnatomy, heldAnatomy } from './casefile/case-anatomy.ts'
import { caseAssumptions, landmarksAssumption, meshesOf } from './casefile/case-assumptions.ts'
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
      landmarksAssumption(found.signOff, found.landmarks),
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
