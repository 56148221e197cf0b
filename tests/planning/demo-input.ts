import { type Leg, type LegParameters, type LegTruth, makeLeg } from '../../demo-models/leg.ts'
import { mirrorTruth } from '../../demo-models/placement.ts'
import type { FemurAnatomy, KneeAngles, Landmarks, TibiaAnatomy } from '../../src/anatomy/terms.ts'
import { newCase } from '../../src/casefile/document.ts'
import { makeBone } from '../../src/geometry/bone.ts'
import { mirrorMesh } from '../../src/geometry/transform.ts'
import type { Vec3 } from '../../src/geometry/vec.ts'
import type { PlanInput } from '../../src/planning/plan.ts'
import type { PlanChoices } from '../../src/planning/terms.ts'
import { expectOk } from '../near.ts'

/** Choices of a new case, with changes. */
export const choicesWith = (changes: Partial<PlanChoices> = {}): PlanChoices => ({
  procedure: newCase.procedure,
  recipe: newCase.recipe,
  recipeOptions: newCase.recipeOptions,
  cuts: newCase.cuts,
  implants: newCase.implants,
  wear: newCase.wear,
  cartilage: newCase.cartilage,
  saw: newCase.saw,
  limits: newCase.limits,
  meshSurface: 'bone',
  ...changes,
})

/** Wear of both compartments, posterior condyles like the rest of theirs. */
export const wornBy = (medialMm: number, lateralMm: number): PlanChoices['wear'] => ({
  ...newCase.wear,
  medialMm,
  lateralMm,
})

/**
 * Planning input from a synthetic leg whose anatomy is the generator's own truth, so that planning is tested without the
 * landmark finder.
 */
export function demoInput(
  parameters: Partial<LegParameters> = {},
  choices: Partial<PlanChoices> = {},
  edgeMm = 1.5,
): PlanInput & { readonly truth: LegTruth } {
  const leg = legOf(parameters, edgeMm)
  const { truth } = leg
  return {
    truth,
    femurBone: expectOk(makeBone(leg.femur)),
    tibiaBone: expectOk(makeBone(leg.tibia)),
    femur: femurFromTruth(truth),
    tibia: tibiaFromTruth(truth),
    angles: anglesFromTruth(truth),
    choices: choicesWith(choices),
  }
}

const right = new Map<string, Pick<Leg, 'femur' | 'tibia' | 'truth'>>()

/** A left leg is the exact mirror image of the right one of the same table, so each table is made once. */
function legOf(parameters: Partial<LegParameters>, edgeMm: number): Pick<Leg, 'femur' | 'tibia' | 'truth'> {
  const key = JSON.stringify([{ ...parameters, side: 'right' }, edgeMm])
  const made = right.get(key) ?? makeLeg({ ...parameters, side: 'right' }, { edgeMm })
  right.set(key, made)
  if (parameters.side !== 'left') return made
  return { femur: mirrorMesh(made.femur), tibia: mirrorMesh(made.tibia), truth: mirrorTruth(made.truth) }
}

function femurFromTruth({ side, femur }: LegTruth): FemurAnatomy {
  return {
    side,
    landmarks: landmarksOf(femur.landmarks),
    frame: femur.frame,
    head: { ...femur.head, rmsMm: 0 },
    condylarCylinder: femur.condylarCylinder,
    distalShaft: femur.distalShaft,
    shaft: femur.shaft,
    truncated: false,
  }
}

function tibiaFromTruth({ side, tibia }: LegTruth): TibiaAnatomy {
  const { spineMedial: _m, spineLateral: _l, ...landmarks } = tibia.landmarks
  return {
    side,
    landmarks: landmarksOf(landmarks),
    frame: tibia.frame,
    medial: tibia.medial,
    lateral: tibia.lateral,
    proximalShaft: tibia.proximalShaft,
    truncated: false,
  }
}

const anglesFromTruth = ({ angles }: LegTruth): KneeAngles => ({
  ...angles,
  coronalType: null,
  pdfaDeg: null,
  anteversionDeg: null,
  tibialTorsionDeg: null,
})

function landmarksOf(points: Readonly<Record<string, Vec3>>): Landmarks {
  const found = (mm: Vec3) => ({ mm, confidence: 1, residualMm: 0, sdMm: 0, source: 'found' as const, reason: null })
  return Object.fromEntries(Object.entries(points).map(([id, mm]) => [id, found(mm)]))
}
