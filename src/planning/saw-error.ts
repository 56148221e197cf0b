import { errorSources } from '../anatomy/error-sources.ts'
import { defaultMeshAccuracyMm, sdsIn95 } from '../anatomy/landmark-sd.ts'
import { defaultReferences, type References } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import { seededNormal, seededRandom } from '../geometry/random.ts'
import { toleranceMm } from './bookkeeping.ts'
import { cutErrorModel, isDepth, landmarkDerivative } from './cut-error-model.ts'
import { judgedLimits } from './limits.ts'
import type { PlanInput } from './plan.ts'
import type { Plan } from './planned.ts'

export interface SawErrorOptions {
  readonly draws: number
  readonly seed: number
  /** 1 SD of each of two angles of every cut, and of its depth. */
  readonly angleSdDeg: number
  readonly depthSdMm: number
  /** Landmarks err too, by their own SD. */
  readonly landmarks: boolean
  /** Definitions in use and 1 SD of the surface; those of a new case unless said. */
  readonly survey?: { readonly references: References; readonly meshSdMm: number }
}

export interface Spread {
  readonly mean: number
  readonly sd: number
  /** 5th and 95th percentile. */
  readonly low: number
  readonly high: number
}

/** How often limits and tolerances hold when saw and landmarks err; shares of the draws, 0…1. */
export interface SawErrorChances {
  readonly draws: number
  readonly limits: readonly { readonly id: string; readonly inside: number; readonly value: Spread }[]
  readonly allLimitsInside: number
  readonly sites: readonly { readonly id: string; readonly within: number; readonly differenceMm: Spread }[]
  readonly allSitesWithin: number
  readonly assumptions: readonly string[]
}

/**
 * Seeded Monte Carlo over cut and landmark errors. Angles and depths of each cut are normal and independent; landmark errors act
 * through the plan's own derivative by each coordinate (small errors). Hands its progress (0…1) out every hundred draws,
 * so that a worker can report, yield and cancel; returns the chances.
 */
export function* sawErrorDraws(
  input: PlanInput,
  plan: Plan,
  options: SawErrorOptions,
): Generator<number, Result<SawErrorChances>> {
  if (!(options.draws >= 1 && options.angleSdDeg >= 0 && options.depthSdMm >= 0))
    return fail('case/out-of-range', 'Draws must be at least 1 and standard deviations not negative.', { place: 'saw' })
  const model = cutErrorModel(input, plan)
  if (!model.ok) return model
  const { planned, evaluate, parameters } = model.value
  const { references, meshSdMm } = { ...surveyed, ...options.survey }
  const sources = options.landmarks ? errorSources(input, references, meshSdMm) : []
  const landmarkColumns = landmarkDerivative(input, parameters, sources, references)
  if (!landmarkColumns.ok) return landmarkColumns
  const normal = seededNormal(seededRandom(options.seed))
  const judged = judgedLimits(plan.limits)
  const limitValues = judged.map(() => new Float64Array(options.draws))
  const siteValues = plan.sites.map(() => new Float64Array(options.draws))
  let allInside = 0
  let allWithin = 0
  for (let draw = 0; draw < options.draws; draw++) {
    const off = planned.map((_, k) => normal() * (isDepth(k) ? options.depthSdMm : options.angleSdDeg))
    for (const column of landmarkColumns.value) {
      const e = normal()
      for (let k = 0; k < off.length; k++) off[k]! += column[k]! * e
    }
    const { limits, differencesMm } = evaluate(planned.map((v, k) => v + off[k]!))
    limits.forEach((v, i) => {
      limitValues[i]![draw] = v
    })
    differencesMm.forEach((v, i) => {
      siteValues[i]![draw] = v
    })
    if (limits.every((v, i) => v >= judged[i]!.low - 1e-9 && v <= judged[i]!.high + 1e-9)) allInside++
    if (differencesMm.every((v) => Math.abs(v) <= toleranceMm + 1e-9)) allWithin++
    if ((draw + 1) % 100 === 0) yield (draw + 1) / options.draws
  }
  const share = (values: Float64Array, holds: (v: number) => boolean) =>
    values.reduce((n, v) => n + (holds(v) ? 1 : 0), 0) / options.draws
  return ok({
    draws: options.draws,
    limits: judged.map(({ id, low, high }, i) => ({
      id,
      inside: share(limitValues[i]!, (v) => v >= low - 1e-9 && v <= high + 1e-9),
      value: spreadOf(limitValues[i]!),
    })),
    allLimitsInside: allInside / options.draws,
    sites: plan.sites.map(({ id }, i) => ({
      id,
      within: share(siteValues[i]!, (v) => Math.abs(v) <= toleranceMm + 1e-9),
      differenceMm: spreadOf(siteValues[i]!),
    })),
    allSitesWithin: allWithin / options.draws,
    assumptions: [
      `cut angles ${options.angleSdDeg}° and depth ${options.depthSdMm} mm, 1 SD, normal and independent (assumed, editable)`,
      options.landmarks
        ? `landmarks err by their own SD (assumed, editable); points on the surface off it by the surface’s ${meshSdMm.toFixed(2)} mm, 1 SD; through the plan’s derivative`
        : 'landmarks taken as exact',
      ...(judged.length < plan.limits.length ? ['limits whose number is withheld are left out'] : []),
    ],
  })
}

/** The same in one go. */
export function sawErrors(input: PlanInput, plan: Plan, options: SawErrorOptions): Result<SawErrorChances> {
  const draws = sawErrorDraws(input, plan, options)
  for (;;) {
    const step = draws.next()
    if (step.done) return step.value
  }
}

const surveyed = { references: defaultReferences, meshSdMm: defaultMeshAccuracyMm / sdsIn95 }

function spreadOf(values: Float64Array): Spread {
  const n = values.length
  const mean = values.reduce((sum, v) => sum + v, 0) / n
  const sd = Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / Math.max(1, n - 1))
  const sorted = values.toSorted()
  const at = (share: number) => sorted[Math.min(n - 1, Math.floor(share * n))]!
  return { mean, sd, low: at(0.05), high: at(0.95) }
}
