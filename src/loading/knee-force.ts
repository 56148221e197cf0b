import type { Assumption } from '../planning/planned.ts'
import type { PoseName } from '../stance/terms.ts'

/** Standard acceleration of gravity, m/s² (ISO 80000-3). */
const gravity = 9.80665

export const activities = [
  'pose',
  'two-legs',
  'one-leg',
  'walking',
  'stairs-up',
  'stairs-down',
  'knee-bend',
  'stand-up',
  'sit-down',
  'standard-peak',
] as const
/** What the leg is doing; `pose`: two legs or one leg as the pose says. */
export type Activity = (typeof activities)[number]

/**
 * Mean peak resultant at the knee, percent of body weight, measured in vivo in five people (Kutzner et al., J Biomech
 * 2010;43:2164). Muscles are in it, so it is more than the weight carried.
 */
const percentOfBodyWeight: Readonly<Record<Exclude<Activity, 'pose' | 'standard-peak'>, number>> = {
  'two-legs': 107,
  'one-leg': 259,
  walking: 261,
  'stairs-up': 316,
  'stairs-down': 346,
  'knee-bend': 253,
  'stand-up': 246,
  'sit-down': 225,
}

/** Axial peak of a walking standard (ISO 14243), N: from memory, not verified. */
const standardPeakN = 2600

export interface LoadChoices {
  readonly bodyMassKg: number
  /** null: from body mass and activity. */
  readonly forceN: number | null
  readonly activity: Activity
  /** A third direction of the load's line, leaning from the vertical with its top lateral and its top forward, degrees; null: none. */
  readonly ownLateralDeg: number | null
  readonly ownForwardDeg: number | null
}

/** Size of the force at one knee in that pose, N: the entered force, else by activity and body mass. */
export function kneeForceN(pose: PoseName, { bodyMassKg, forceN, activity }: LoadChoices): number {
  if (forceN !== null) return forceN
  const what = activity === 'pose' ? (pose === 'one-leg' ? 'one-leg' : 'two-legs') : activity
  if (what === 'standard-peak') return standardPeakN
  return (percentOfBodyWeight[what] / 100) * bodyMassKg * gravity
}

/** What the size of the load takes for granted. */
export function loadAssumptions({
  bodyMassKg,
  forceN,
  activity,
  ownLateralDeg,
  ownForwardDeg,
}: LoadChoices): Assumption[] {
  const source = 'in-vivo mean peak, five people (Kutzner et al., J Biomech 2010;43:2164)'
  const load = (what: string, value: string, basis: string): Assumption => ({ what, value, basis })
  const half = ((bodyMassKg * gravity) / 2).toFixed(0)
  const percent = (what: Exclude<Activity, 'pose' | 'standard-peak'>) =>
    `${percentOfBodyWeight[what]} % of body weight (${bodyMassKg} kg) at the knee`
  const sizes =
    forceN !== null
      ? [load('load', `${forceN} N at the knee in every pose`, 'entered')]
      : activity === 'standard-peak'
        ? [load('load', `${standardPeakN} N at the knee`, 'peak of a walking standard, from memory, not verified')]
        : activity === 'pose'
          ? [
              load('load, two legs', percent('two-legs'), `${source}; half the weight alone would be ${half} N`),
              load('load, one leg', percent('one-leg'), source),
            ]
          : [load(`load, ${activity}`, percent(activity), source)]
  const own =
    ownLateralDeg === null && ownForwardDeg === null
      ? []
      : [load('own load direction', `top ${ownLateralDeg ?? 0}° lateral, ${ownForwardDeg ?? 0}° forward`, 'entered')]
  return [
    ...sizes,
    ...own,
    {
      what: 'load direction',
      value: 'vertical, and along the tibial mechanical axis; always both',
      basis:
        'loads measured in vivo stay close to the tray normal, shear 10 to 20 times smaller than compression (Kutzner et al. 2010), so neither direction alone is the truth',
    },
    {
      what: 'line of the load in the frontal plane',
      value: 'from hip centre to ankle centre',
      basis:
        'two-force leg, no muscles: half the load on each side when straight; in vivo about 0.6 and more is medial, and the share follows alignment less steeply in motion',
    },
  ]
}
