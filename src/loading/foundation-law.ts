import { fail, ok, type Result } from '../failure.ts'

/** An elastic layer on a rigid base. MPa and mm. */
export interface Foundation {
  readonly modulusMpa: number
  readonly poisson: number
  readonly thicknessMm: number
  readonly law: 'linear' | 'logarithmic'
}

/** Pressure of a layer by penetration, MPa and MPa/mm. */
export interface PressureLaw {
  readonly pressure: (penetrationMm: number) => number
  readonly stiffness: (penetrationMm: number) => number
  /** Confined modulus over thickness, MPa/mm. */
  readonly initialStiffness: number
  readonly thicknessMm: number
}

/**
 * Modulus of a layer that cannot spread sideways, (1 − ν)E / ((1 + ν)(1 − 2ν)), MPa (Bei & Fregly, Med Eng Phys
 * 2004;26:777; origin Blankevoort et al., J Biomech 1991). Grows without bound towards ν = 0.5.
 */
export const confinedModulus = (modulusMpa: number, poisson: number): number =>
  ((1 - poisson) * modulusMpa) / ((1 + poisson) * (1 - 2 * poisson))

/**
 * p = K'·u/h, or p = −K'·ln(1 − u/h), with K' the confined modulus (Bei & Fregly 2004). Beyond 95 % of the thickness
 * the logarithmic law goes on along its tangent, so that no penetration gives infinity. A layer without thickness or
 * with ν ≥ 0.5 is a failure.
 */
export function pressureLaw({ modulusMpa, poisson, thicknessMm, law }: Foundation): Result<PressureLaw> {
  if (!(modulusMpa > 0) || !(thicknessMm > 0) || !(poisson >= 0 && poisson < 0.5))
    return fail('load/out-of-range', 'The bearing layer needs a modulus, a thickness and a Poisson ratio below 0.5.', {
      place: 'bearing',
    })
  const confined = confinedModulus(modulusMpa, poisson)
  const initialStiffness = confined / thicknessMm
  const base = { initialStiffness, thicknessMm }
  if (law === 'linear') return ok({ ...base, pressure: (u) => initialStiffness * u, stiffness: () => initialStiffness })
  const most = 0.95 * thicknessMm
  const atMost = -confined * Math.log(1 - most / thicknessMm)
  const slopeAtMost = confined / (thicknessMm - most)
  return ok({
    ...base,
    pressure: (u) => (u < most ? -confined * Math.log(1 - u / thicknessMm) : atMost + slopeAtMost * (u - most)),
    stiffness: (u) => (u < most ? confined / (thicknessMm - u) : slopeAtMost),
  })
}
