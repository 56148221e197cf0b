import { seededRandom } from '../src/geometry/random.ts'

/** What a synthetic leg is made from. Lengths mm, angles degrees; the same table makes left and right legs. */
export interface LegParameters {
  readonly side: 'left' | 'right'
  /** Scale of the bone ends and shaft widths; 1 is an epicondylar width of about 82 mm. */
  readonly size: number
  /** Femoral knee centre to hip centre, about. */
  readonly femurLengthMm: number
  /** Tibial knee centre to ankle centre, about. */
  readonly tibiaLengthMm: number
  readonly ldfaDeg: number
  readonly mptaDeg: number
  readonly slopeMedialDeg: number
  readonly slopeLateralDeg: number
  /** Femoral neck against the posterior condylar line, anteversion positive. */
  readonly anteversionDeg: number
  /** Distal against proximal tibia, external positive. */
  readonly tibialTorsionDeg: number
  readonly headRadiusMm: number
  readonly neckLengthMm: number
  readonly neckShaftDeg: number
  /** Sagitta of the femoral shaft's anterior bow. */
  readonly femoralBowMm: number
  /** Radius of the posterior condyles about the flexion axis at size 1. */
  readonly condyleRadiusMm: number
  /** Half the distance between the two condylar crests at size 1. */
  readonly condyleHalfSpacingMm: number
  /** Lateral condyle smaller than the medial by this much radius at size 1. */
  readonly lateralCondyleLessMm: number
  readonly notchWidthMm: number
  /** Radius of the dish of the medial plateau (concave) and of the lateral (convex), at size 1. */
  readonly medialDishRadiusMm: number
  readonly lateralDomeRadiusMm: number
  /** Bone worn off the medial plateau and off the medial distal condyle, each, at the deepest. */
  readonly medialWearMm: number
  /** Height of osteophytes on the rims; 0 for none. */
  readonly osteophyteMm: number
  /** Gap between the bones on the medial and lateral side in the pose of the patient frame. */
  readonly gapMedialMm: number
  readonly gapLateralMm: number
}

export const ordinaryLeg: LegParameters = {
  side: 'right',
  size: 1,
  femurLengthMm: 430,
  tibiaLengthMm: 365,
  ldfaDeg: 87.5,
  mptaDeg: 87,
  slopeMedialDeg: 7,
  slopeLateralDeg: 5.5,
  anteversionDeg: 14,
  tibialTorsionDeg: 26,
  headRadiusMm: 23.5,
  neckLengthMm: 52,
  neckShaftDeg: 127,
  femoralBowMm: 12,
  condyleRadiusMm: 21,
  condyleHalfSpacingMm: 23.5,
  lateralCondyleLessMm: 0.4,
  notchWidthMm: 21,
  medialDishRadiusMm: 180,
  lateralDomeRadiusMm: 170,
  medialWearMm: 0,
  osteophyteMm: 0,
  gapMedialMm: 4,
  gapLateralMm: 4.5,
}

/** Parameters of a random leg; the same seed gives the same leg. `extreme` widens the angles to severe deformity. */
export function randomLegParameters(seed: number, options: { readonly extreme?: boolean } = {}): LegParameters {
  const random = seededRandom(seed * 7919 + 17)
  const between = (low: number, high: number) => low + (high - low) * random()
  const extreme = options.extreme ?? false
  const size = between(0.86, 1.1)
  const [low, high] = extreme ? [78, 96] : [82, 93]
  const [ldfaDeg, mptaDeg] = drawAngles(() => between(low, high), extreme)
  const slopeMedialDeg = extreme ? between(-2, 18) : between(0, 12)
  const slopeLateralDeg = Math.min(extreme ? 18 : 12, Math.max(extreme ? -2 : 0, slopeMedialDeg + between(-4, 3)))
  return {
    side: random() < 0.5 ? 'left' : 'right',
    size,
    femurLengthMm: 430 * size * between(0.95, 1.06),
    tibiaLengthMm: 365 * size * between(0.95, 1.06),
    ldfaDeg,
    mptaDeg,
    slopeMedialDeg,
    slopeLateralDeg,
    anteversionDeg: between(-2, 32),
    tibialTorsionDeg: between(10, 42),
    headRadiusMm: 23.5 * size * between(0.95, 1.05),
    neckLengthMm: 52 * size * between(0.95, 1.06),
    neckShaftDeg: between(120, 136),
    femoralBowMm: between(6, 17),
    condyleRadiusMm: between(20, 22),
    condyleHalfSpacingMm: between(22.5, 24.5),
    lateralCondyleLessMm: between(-0.5, 1.2),
    notchWidthMm: between(19, 22.5),
    medialDishRadiusMm: between(150, 260),
    lateralDomeRadiusMm: between(150, 400),
    medialWearMm: 0,
    osteophyteMm: 0,
    gapMedialMm: between(3, 4.5),
    gapLateralMm: between(3.2, 5.5),
  }
}

function drawAngles(draw: () => number, extreme: boolean): [number, number] {
  for (;;) {
    const ldfa = draw()
    const mpta = draw()
    const arithmeticHka = 180 + mpta - ldfa
    if (!extreme || (arithmeticHka >= 166 && arithmeticHka <= 191)) return [ldfa, mpta]
  }
}
