import type { Assumption } from '../planning/planned.ts'
import type { PoseName } from '../stance/terms.ts'

/** Standard acceleration of gravity, m/s² (ISO 80000-3). */
const gravity = 9.80665

/**
 * Mean peak resultant at the knee in percent of body weight, measured in vivo in five people (Kutzner et al., J Biomech
 * 2010;43:2164): two-legged stance 107, one-legged stance 259. Muscles are in it, so it is more than the weight carried.
 */
const percentOfBodyWeight = { both: 107, one: 259 }

export interface LoadChoices {
  readonly bodyMassKg: number
  /** null: from body mass. */
  readonly forceN: number | null
}

/** Size of the force at one knee in that pose, N: the entered force, else from body mass. */
export function kneeForceN(pose: PoseName, { bodyMassKg, forceN }: LoadChoices): number {
  if (forceN !== null) return forceN
  return (percentOfBodyWeight[pose === 'one-leg' ? 'one' : 'both'] / 100) * bodyMassKg * gravity
}

/** What the size of the load takes for granted. */
export function loadAssumptions({ bodyMassKg, forceN }: LoadChoices): Assumption[] {
  const directions: Assumption = {
    what: 'load direction',
    value: 'vertical, and along the tibial mechanical axis; always both',
    basis:
      'loads measured in vivo stay close to the tray normal, shear 10 to 20 times smaller than compression (Kutzner et al. 2010, five people), so neither direction alone is the truth',
  }
  if (forceN !== null)
    return [{ what: 'load', value: `${forceN} N at the knee in every pose`, basis: 'entered' }, directions]
  const half = (bodyMassKg * gravity) / 2
  return [
    {
      what: 'load, two legs',
      value: `${percentOfBodyWeight.both} % of body weight (${bodyMassKg} kg) at each knee`,
      basis: `in-vivo mean peak of two-legged stance, five people (Kutzner et al., J Biomech 2010;43:2164); half the weight alone would be ${half.toFixed(0)} N`,
    },
    {
      what: 'load, one leg',
      value: `${percentOfBodyWeight.one} % of body weight (${bodyMassKg} kg) at the knee`,
      basis: 'in-vivo mean peak of one-legged stance, five people (Kutzner et al., J Biomech 2010;43:2164)',
    },
    directions,
  ]
}
