import { toRad } from '../src/geometry/vec.ts'
import type { LegParameters } from './parameters.ts'
import { smoothStep } from './sdf.ts'
import type { TibiaKnobs } from './tibia-shape.ts'

/**
 * Height of the proximal joint surface over (x, z) in the tibia's model frame: two tilted dishes (medial hollow,
 * lateral domed), between them the eminence with two spines, low ground in front and behind it.
 */
export function plateauHeight(p: LegParameters, knobs: TibiaKnobs): (x: number, z: number) => number {
  const s = p.size
  const varus = Math.tan(toRad(knobs.varusDeg))
  const slopeMedial = Math.tan(toRad(knobs.slopeMedialDeg))
  const slopeLateral = Math.tan(toRad(knobs.slopeLateralDeg))
  const hollow = 1 / (2 * p.medialDishRadiusMm)
  const dome = 1 / (2 * p.lateralDomeRadiusMm)
  const wear = p.medialWearMm / s
  return (xMm, zMm) => {
    const x = xMm / s
    const z = zMm / s
    // Dish centres at x 0 and −1, z −22 and 21.
    const zm = z + 22
    const zl = z - 21
    const medial = slopeMedial * x + varus * z + hollow * (x * x + zm * zm) - wear * bump(x + 3, 14) * bump(zm, 12)
    const lateral = slopeLateral * (x + 1) + varus * z - dome * ((x + 1) * (x + 1) + zl * zl)
    const share = smoothStep(z, -7, 7)
    const floor = -8 + medial * (1 - share) + lateral * share
    const spines =
      7.8 * bump(z + 5.5, 3.3) * bump(x + 0.5, 6.5) +
      6.8 * bump(z - 5.5, 3.3) * bump(x + 3, 5) +
      2.5 * bump(z, 5) * bump(x + 1.5, 8)
    const front = 5.5 * bump(z, 5) * smoothStep(x, 7, 17)
    const back = 6 * bump(z, 5.5) * smoothStep(-x, 9, 17)
    return s * (floor + spines - front - back)
  }
}

/** A smooth hill of height 1 about t = 0, like a bell curve of that standard deviation but zero beyond three. */
function bump(t: number, width: number): number {
  const u = 1 - (t * t) / (9 * width * width)
  return u > 0 ? u * u * u * u : 0
}
