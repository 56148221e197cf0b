import type { FemurAnatomy, TibiaAnatomy } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import { length, sub, toDeg } from '../geometry/vec.ts'
import { aboveMeshMm } from './bookkeeping.ts'
import { externalRotationOf, femoralPosteriorNormal } from './cut-normals.ts'
import { type FemoralSitePairs, femoralValgus } from './femoral-cuts.ts'
import type { FemoralGoal, TibialGoal } from './goals.ts'
import { legAxes, partsOf } from './leg-axes.ts'
import type { SitePair } from './pair.ts'
import { type CoronalLimits, type Restricted, ruleOfThumb, smallestCorrection } from './restrict.ts'
import type { AlignmentLimits, Compartment, PlanChoices } from './terms.ts'
import { nativeMedialSlopeDeg, tibialVarus } from './tibial-cut.ts'

export interface RecipeGoals {
  readonly femur: FemoralGoal
  readonly tibia: TibialGoal
  /** Cuts of the plain kinematic recipe, and what the limits make of them; null for other recipes. */
  readonly restriction: {
    readonly kinematic: { readonly ldfaDeg: number; readonly mptaDeg: number }
    readonly ruleOfThumb: Restricted
    readonly smallest: Restricted
    readonly pivot: Compartment
  } | null
  readonly notes: readonly string[]
}

export interface RecipeInput {
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
  readonly femoralPairs: FemoralSitePairs
  readonly tibialPair: SitePair
  readonly choices: PlanChoices
}

/**
 * The table of recipes (conventions): what each asks of both bones; any cell gives way to an override. Limits that contradict
 * each other give `plan/infeasible`.
 */
export function recipeGoals(input: RecipeInput): Result<RecipeGoals> {
  const { choices } = input
  switch (choices.recipe) {
    case 'mechanical': {
      const rotation = mechanicalRotationDeg(input)
      return rotation.ok ? ok(fixedGoals(input, 0, rotation.value, 0)) : rotation
    }
    case 'anatomic':
      return ok(fixedGoals(input, 3, 0, 3))
    case 'kinematic':
      return kinematicGoals(input)
    case 'restricted':
      return restrictedGoals(input)
  }
}

function fixedGoals(input: RecipeInput, valgusDeg: number, rotationDeg: number, varusDeg: number): RecipeGoals {
  const { cuts, recipeOptions } = input.choices
  return {
    femur: {
      flexionDeg: cuts.femur.flexionDeg ?? 0,
      valgusDeg: cuts.femur.valgusDeg ?? valgusDeg,
      rotationDeg: cuts.femur.rotationDeg ?? rotationDeg,
      level: 'proudest',
      distalMm: cuts.femur.distalMm,
      posteriorMm: cuts.femur.posteriorMm,
    },
    tibia: {
      slopeDeg: cuts.tibia.slopeDeg ?? recipeOptions.slopeDeg,
      varusDeg: cuts.tibia.varusDeg ?? varusDeg,
      level: 'proudest',
      depthMm: cuts.tibia.depthMm,
      depthFrom: recipeOptions.tibialDepthFrom,
      rotationDeg: cuts.tibia.rotationDeg ?? 0,
    },
    restriction: null,
    notes: [],
  }
}

function kinematicGoals(input: RecipeInput): Result<RecipeGoals> {
  const { cuts, recipeOptions } = input.choices
  const native = nativeMedialSlopeDeg(input.tibia)
  const kept = recipeOptions.slopeReleased ? native : Math.min(10, Math.max(0, native))
  const notes =
    kept === native || cuts.tibia.slopeDeg !== null
      ? []
      : [`The native medial slope of ${native.toFixed(1)}° was limited to ${kept.toFixed(1)}°.`]
  notes.push(...posteriorWearNote(input))
  const flexionDeg = recipeOptions.kinematicFlexion === 'shaft' ? shaftFlexionDeg(input.femur) : 0
  const femur: FemoralGoal = {
    flexionDeg: cuts.femur.flexionDeg ?? flexionDeg,
    valgusDeg: 'sites',
    rotationDeg: cuts.femur.rotationDeg ?? 'sites',
    level: 'medial',
    distalMm: cuts.femur.distalMm,
    posteriorMm: cuts.femur.posteriorMm,
  }
  const tibia: TibialGoal = {
    slopeDeg: cuts.tibia.slopeDeg ?? kept,
    varusDeg: 'sites',
    level: 'medial',
    depthMm: cuts.tibia.depthMm,
    depthFrom: recipeOptions.tibialDepthFrom,
    rotationDeg: cuts.tibia.rotationDeg ?? 0,
  }
  const valgus = femoralValgus(input.femur, input.femoralPairs, femur)
  if (!valgus.ok) return valgus
  const varus = tibialVarus(input.tibia, input.tibialPair, tibia)
  if (!varus.ok) return varus
  const level = pivotOf(input.choices, valgus.value, varus.value)
  return ok({
    femur: { ...femur, level, valgusDeg: cuts.femur.valgusDeg ?? valgus.value },
    tibia: { ...tibia, level, varusDeg: cuts.tibia.varusDeg ?? varus.value },
    restriction: null,
    notes,
  })
}

/** Wear taken for the posterior condyles turns the component; that must not pass unseen. */
function posteriorWearNote({ choices, femoralPairs }: RecipeInput): readonly string[] {
  const { posteriorMedialMm, posteriorLateralMm } = choices.wear
  const { medial, lateral } = femoralPairs.posterior.stock
  const added = (stock: typeof medial, entered: number | null) =>
    entered === null ? aboveMeshMm(stock) - aboveMeshMm({ ...stock, wornMm: 0 }) : 0
  const assumed = added(medial, posteriorMedialMm) - added(lateral, posteriorLateralMm)
  if (Math.abs(assumed) < 1e-9) return []
  const deg = toDeg(Math.atan(Math.abs(assumed) / length(femoralPairs.condylarLine)))
  return [
    `The entered wear is taken for the posterior condyles too, which turns the femoral component ${deg.toFixed(1)}° ${assumed > 0 ? 'inward' : 'outward'}; where they are intact, enter posterior wear 0.`,
  ]
}

function restrictedGoals(input: RecipeInput): Result<RecipeGoals> {
  const plain = kinematicGoals({ ...input, choices: withoutCoronalOverrides(input.choices) })
  if (!plain.ok) return plain
  const { femur, tibia, notes } = plain.value
  const kinematic = { ldfaDeg: 90 - Number(femur.valgusDeg), mptaDeg: 90 - Number(tibia.varusDeg) }
  const limits = coronalLimits(input.choices.limits)
  const thumb = ruleOfThumb(kinematic, limits)
  if (!thumb.ok) return thumb
  const smallest = smallestCorrection(kinematic, limits)
  if (!smallest.ok) return smallest
  const answer = input.choices.recipeOptions.restrictedAnswer === 'smallest' ? smallest.value : thumb.value
  const { cuts } = input.choices
  return ok({
    femur: { ...femur, valgusDeg: cuts.femur.valgusDeg ?? 90 - answer.ldfaDeg },
    tibia: { ...tibia, varusDeg: cuts.tibia.varusDeg ?? 90 - answer.mptaDeg },
    restriction: {
      kinematic,
      ruleOfThumb: thumb.value,
      smallest: smallest.value,
      pivot: femur.level === 'lateral' ? 'lateral' : 'medial',
    },
    notes: [
      ...notes,
      `The restricted answer (${input.choices.recipeOptions.restrictedAnswer === 'smallest' ? 'smallest correction' : 'rule-of-thumb order'}) is an interpretation of common practice.`,
    ],
  })
}

/** The limits of the case, one pair of bounds for both joint lines. */
export const coronalLimits = (limits: AlignmentLimits): CoronalLimits => ({
  limbDeg: limits.limbDeg,
  ldfaLowDeg: limits.jointLineLowDeg,
  ldfaHighDeg: limits.jointLineHighDeg,
  mptaLowDeg: limits.jointLineLowDeg,
  mptaHighDeg: limits.jointLineHighDeg,
})

const withoutCoronalOverrides = (choices: PlanChoices): PlanChoices => ({
  ...choices,
  cuts: {
    ...choices.cuts,
    tibia: { ...choices.cuts.tibia, varusDeg: null },
    femur: { ...choices.cuts.femur, valgusDeg: null },
  },
})

/** The less worn compartment; equally worn: the one away from the limb's lean (lateral in varus). */
function pivotOf(choices: PlanChoices, valgusDeg: number, varusDeg: number): Compartment {
  const { medialMm, lateralMm } = choices.wear
  if (medialMm !== lateralMm) return medialMm < lateralMm ? 'medial' : 'lateral'
  return varusDeg >= valgusDeg ? 'lateral' : 'medial'
}

/**
 * Flexion that stands the distal cut square to the distal shaft axis in the femur's sagittal plane, degrees; 0 where the scan ends too
 * near to the joint to show the shaft (`standInWarnings` tells it).
 */
export function shaftFlexionDeg(femur: FemurAnatomy): number {
  if (femur.shaftUnclear) return 0
  const [anterior, proximal] = partsOf(legAxes(femur.frame, femur.side), femur.distalShaft.direction)
  return toDeg(Math.atan(anterior / proximal))
}

/** 3° external to the posterior condylar line, or parallel to the epicondyle line. */
function mechanicalRotationDeg({ femur, femoralPairs, choices }: RecipeInput): Result<number> {
  if (choices.recipeOptions.mechanicalRotation === 'three-external') return ok(3)
  const { epicondyleMedial, epicondyleLateral } = femur.landmarks
  if (!(epicondyleMedial && epicondyleLateral))
    return fail('landmark/missing', 'Rotation by the epicondyle line needs both epicondyles.', {
      place: 'landmarks.epicondyleMedial',
      hint: 'Set the epicondyles, or use the posterior condylar line.',
    })
  const axes = legAxes(femur.frame, femur.side)
  const square = femoralPosteriorNormal(axes, sub(epicondyleLateral.mm, epicondyleMedial.mm), axes.proximal, 0)
  return ok(externalRotationOf(axes, femoralPairs.condylarLine, square))
}
