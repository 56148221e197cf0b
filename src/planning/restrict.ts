import { fail, ok, type Result } from '../failure.ts'

/** Coronal angles of the two cuts, degrees. */
export interface CoronalCuts {
  readonly ldfaDeg: number
  readonly mptaDeg: number
}

/** Entered limits: |HKA − 180| at most `limbDeg`, each joint line between its bounds. */
export interface CoronalLimits {
  readonly limbDeg: number
  readonly ldfaLowDeg: number
  readonly ldfaHighDeg: number
  readonly mptaLowDeg: number
  readonly mptaHighDeg: number
}

/** One step of the restriction: which limit moved which bone's cut by how many degrees. */
export interface RestrictionStep {
  readonly limit: 'ldfa' | 'mpta' | 'limb'
  readonly bone: 'femur' | 'tibia'
  readonly deg: number
}

export interface Restricted extends CoronalCuts {
  readonly steps: readonly RestrictionStep[]
}

/**
 * The rule-of-thumb order: bring each joint line inside its limits, then correct the limb on the tibia as far as its
 * limit allows, the rest on the femur (check values §4.2; an interpretation of common practice, no source).
 * Limits that contradict each other give a `plan/infeasible` Failure.
 */
export function ruleOfThumb(native: CoronalCuts, limits: CoronalLimits): Result<Restricted> {
  const contradiction = contradictionOf(limits)
  if (contradiction) return fail('plan/infeasible', contradiction)
  const clamped = clampJointLines(native, limits)
  const h = clamped.mptaDeg - clamped.ldfaDeg
  const target = clamp(h, -limits.limbDeg, limits.limbDeg)
  if (target === h) return ok(restricted(native, clamped, clamped))
  const mptaDeg = clamp(clamped.ldfaDeg + target, limits.mptaLowDeg, limits.mptaHighDeg)
  return ok(
    restricted(native, clamped, {
      mptaDeg,
      ldfaDeg: mptaDeg - target === clamped.ldfaDeg ? clamped.ldfaDeg : mptaDeg - target,
    }),
  )
}

/**
 * The smallest correction: least √(ΔLDFA² + ΔMPTA²) that holds every limit, the projection on their convex region.
 * Limits that contradict each other give a `plan/infeasible` Failure.
 */
export function smallestCorrection(native: CoronalCuts, limits: CoronalLimits): Result<Restricted> {
  const contradiction = contradictionOf(limits)
  if (contradiction) return fail('plan/infeasible', contradiction)
  const clamped = clampJointLines(native, limits)
  const h = clamped.mptaDeg - clamped.ldfaDeg
  const target = clamp(h, -limits.limbDeg, limits.limbDeg)
  if (target === h) return ok(restricted(native, clamped, clamped))
  // The clamped point breaks the limb limit, so the nearest point lies on that limit's line mpta = ldfa + target.
  const low = Math.max(limits.ldfaLowDeg, limits.mptaLowDeg - target)
  const high = Math.min(limits.ldfaHighDeg, limits.mptaHighDeg - target)
  const ldfaDeg = clamp((native.ldfaDeg + native.mptaDeg - target) / 2, low, high)
  return ok(restricted(native, clamped, { ldfaDeg, mptaDeg: ldfaDeg + target }))
}

/** A sentence when no pair of cuts can hold all limits, else null. */
export function contradictionOf(limits: CoronalLimits): string | null {
  if (limits.limbDeg < 0) return `The limb limit ${limits.limbDeg}° is negative; no cuts can hold it.`
  if (limits.ldfaLowDeg > limits.ldfaHighDeg || limits.mptaLowDeg > limits.mptaHighDeg)
    return 'A lower joint line limit stands above its upper limit; no cuts can hold both.'
  const most = limits.mptaHighDeg - limits.ldfaLowDeg
  const least = limits.mptaLowDeg - limits.ldfaHighDeg
  if (most < -limits.limbDeg || least > limits.limbDeg)
    return (
      `LDFA ${limits.ldfaLowDeg}–${limits.ldfaHighDeg}° and MPTA ${limits.mptaLowDeg}–${limits.mptaHighDeg}° ` +
      `leave no pair of cuts with the limb within ${limits.limbDeg}° of 180°.`
    )
  return null
}

const clampJointLines = (native: CoronalCuts, limits: CoronalLimits): CoronalCuts => ({
  ldfaDeg: clamp(native.ldfaDeg, limits.ldfaLowDeg, limits.ldfaHighDeg),
  mptaDeg: clamp(native.mptaDeg, limits.mptaLowDeg, limits.mptaHighDeg),
})

function restricted(native: CoronalCuts, clamped: CoronalCuts, final: CoronalCuts): Restricted {
  const steps: RestrictionStep[] = [
    { limit: 'ldfa', bone: 'femur', deg: clamped.ldfaDeg - native.ldfaDeg },
    { limit: 'mpta', bone: 'tibia', deg: clamped.mptaDeg - native.mptaDeg },
    { limit: 'limb', bone: 'tibia', deg: final.mptaDeg - clamped.mptaDeg },
    { limit: 'limb', bone: 'femur', deg: final.ldfaDeg - clamped.ldfaDeg },
  ]
  return { ...final, steps: steps.filter((step) => step.deg !== 0) }
}

const clamp = (v: number, low: number, high: number): number => Math.min(high, Math.max(low, v))
