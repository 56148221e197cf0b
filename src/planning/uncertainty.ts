import { anglePaths, type Draws, spreadOfAngles } from '../anatomy/angle-spread.ts'
import { errorSources, type KneeAnatomy, offSurfaceSdMm } from '../anatomy/error-sources.ts'
import { defaultSdMm, sdBasis, sdsIn95, type UncertaintyChoices } from '../anatomy/landmark-sd.ts'
import { type Budget, type Spread, seededDraws } from '../anatomy/spread.ts'
import type { Landmark, LandmarkId, References } from '../anatomy/terms.ts'
import { ok, type Result } from '../failure.ts'
import { femoralAngles, tibialAngles } from './cut-normals.ts'
import { legAxes } from './leg-axes.ts'
import type { PlanInput } from './plan.ts'
import type { Plan } from './planned.ts'
import { spreadOfSites } from './site-spread.ts'

/** How sure the numbers are, and what that is made of. Degrees and mm. */
export interface Uncertainty {
  readonly draws: number
  readonly seed: number
  /** Half the 95 % band of the meshed surface, mm. */
  readonly meshAccuracyMm: number
  /** 1 SD in use for each landmark there is. */
  readonly landmarks: Readonly<Partial<Record<LandmarkId, SdInUse>>>
  readonly includes: readonly string[]
  readonly excludes: readonly string[]
  /** By findings path. */
  readonly budgets: Readonly<Record<string, Budget>>
}

export interface SdInUse {
  readonly sdMm: number
  readonly entered: boolean
  readonly basis: string
}

export interface UncertaintyInput {
  readonly knee: KneeAnatomy
  /** Femur and tibia lie in one frame as they were read. */
  readonly shared: boolean
  readonly references: References
  readonly choices: UncertaintyChoices
  readonly seed: number
  /** Left out where nothing is planned: then only the native angles are told. */
  readonly planned?: { readonly input: PlanInput; readonly plan: Plan } | undefined
}

/** 95 % intervals by findings path, and how they come about. */
export interface Intervals {
  readonly intervals: Readonly<Record<string, readonly [number, number]>>
  readonly uncertainty: Uncertainty
}

export const usualDraws = 2000

/**
 * Seeded Monte Carlo over what landmarks and surface err by: native angles are measured again on every draw, the angles of the
 * planned cuts against every draw's axes, and the sites through the plan's own derivative. A plan whose cuts cannot be laid
 * again is that failure. Hands its progress (0…1) out as it goes.
 */
export function* intervalSteps(
  { knee, shared, references, choices, seed, planned }: UncertaintyInput,
  count = usualDraws,
): Generator<number, Result<Intervals>> {
  const meshSdMm = choices.meshAccuracyMm / sdsIn95
  const sources = errorSources(knee, references, meshSdMm)
  const draws: Draws = { sources, amounts: seededDraws(sources.length, count, seed), count }
  const angles = yield* spreadOfAngles(knee, references, draws, (of) => {
    const native = anglePaths(of, references, shared)
    return planned ? { ...native, ...plannedAngles(of, native, planned) } : native
  })
  const sites = planned
    ? spreadOfSites(planned.input, planned.plan, references, draws, {
        sdMm: { femur: offSurfaceSdMm(meshSdMm, knee.femur), tibia: offSurfaceSdMm(meshSdMm, knee.tibia) },
        seed,
      })
    : ok({})
  if (!sites.ok) return sites
  const spreads: [string, Spread][] = Object.entries({ ...angles, ...sites.value })
  return ok({
    intervals: Object.fromEntries(spreads.map(([path, { interval }]) => [path, interval])),
    uncertainty: {
      draws: count,
      seed,
      meshAccuracyMm: choices.meshAccuracyMm,
      landmarks: sdsInUse(knee, choices),
      includes,
      excludes,
      budgets: Object.fromEntries(spreads.map(([path, { budget }]) => [path, budget])),
    },
  })
}

/** The same in one go. */
export function intervalsOf(input: UncertaintyInput, count = usualDraws): Result<Intervals> {
  const steps = intervalSteps(input, count)
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

/**
 * What the planned cuts make of a knee's angles, degrees by findings path: a total's planes against its axes; after a partial its
 * native angles, turned by what the planned components stand over or under the bone, which stays as planned.
 */
function plannedAngles(
  { femur, tibia }: KneeAnatomy,
  native: Readonly<Record<string, number>>,
  { input, plan }: { readonly input: PlanInput; readonly plan: Plan },
): Readonly<Record<string, number>> {
  const normalOf = (id: string) => plan.cuts.find((cut) => cut.id === id)?.normal
  // The limb follows the component, which a departing cut does not move.
  const [proximal, distal] = [normalOf('tibia'), plan.femoralFaces['femur-distal']?.normal]
  if (!proximal || !distal) return {}
  const { varusDeg, slopeDeg } = tibialAngles(legAxes(tibia.frame, tibia.side), proximal)
  if (plan.procedure !== 'total') {
    const limb = input.angles.hkaDeg === null ? 'arithmeticHkaDeg' : 'hkaDeg'
    const turned = (key: 'hkaDeg' | 'ldfaDeg' | 'mptaDeg', from: keyof PlanInput['angles']) => {
      const [now, planned, after] = [native[`angles.${from}`], input.angles[from], plan.after[key]]
      const change = now === undefined || typeof planned !== 'number' ? null : now - planned
      return change === null || after === null ? {} : { [`after.${key}`]: after + change }
    }
    return {
      ...turned('hkaDeg', limb),
      ...turned('ldfaDeg', 'ldfaDeg'),
      ...turned('mptaDeg', 'mptaDeg'),
      'after.slopeDeg': slopeDeg,
    }
  }
  const { valgusDeg } = femoralAngles(legAxes(femur.frame, femur.side), distal)
  return {
    'after.hkaDeg': 180 + valgusDeg - varusDeg,
    'after.ldfaDeg': 90 - valgusDeg,
    'after.mptaDeg': 90 - varusDeg,
    'after.slopeDeg': slopeDeg,
  }
}

function sdsInUse({ femur, tibia }: KneeAnatomy, { sdMm }: UncertaintyChoices): Uncertainty['landmarks'] {
  const marks = Object.entries({ ...femur.landmarks, ...tibia.landmarks }) as [LandmarkId, Landmark][]
  return Object.fromEntries(
    marks.map(([id, mark]) => {
      const entered = sdMm[id] !== null
      return [
        id,
        { sdMm: mark.sdMm ?? 0, entered, basis: entered ? 'entered' : `${defaultSdMm[id].where}; ${sdBasis}` },
      ]
    }),
  )
}

const includes = [
  'scatter of every landmark when it is found or placed again, independent of the others',
  'accuracy of the meshed surface and the noise seen on it, independent at each landmark and site, and the tilt they give the plateaus’ patches',
  'the axis of a shaft that the scan cuts off, by how far such axes lie off the whole bone’s',
  'native angles: measured again on each draw; a contact point stays the same piece of bone',
  'angles of the planned cuts: the same planes against each draw’s axes; after a partial the native angles of each draw, turned as planned',
  'thickness at the sites: landmarks read again on this mesh lay the plan again (by its derivative), on a surface that errs by its accuracy',
]

const excludes = [
  'slice thickness of the scan beyond the accuracy entered',
  'lying pose: bones from CT or MRI do not stand',
  'cartilage and wear that were assumed',
  'spacing of hips and feet',
  'the saw',
]
