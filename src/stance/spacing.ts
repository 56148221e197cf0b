import type { PoseName, StanceChoices } from './terms.ts'

/** Where the hips and ankles of one pose stand, and where those numbers come from. */
export interface PoseSpacing {
  readonly pose: PoseName
  /** Half the horizontal distance between the hip centres, mm. */
  readonly hipHalfSpacingMm: number
  /** Half the distance between the ankle centres, mm. */
  readonly ankleHalfSpacingMm: number
  readonly spacingSource: 'assumed' | 'entered' | 'measured'
  readonly flexionDeg: number
  readonly footRotationDeg: number
  readonly flexionSource: 'assumed' | 'entered'
  /** Feet that carry: the pelvis tilts only between two of them. */
  readonly feetDown: 1 | 2
  readonly basis: string
}

interface Assumed {
  readonly hipMm: number
  readonly ankleMm: number
  readonly feetDown: 1 | 2
  readonly basis: string
}

/**
 * Assumed half spacings. Hip: 83.5 mm in a generic musculoskeletal model, 91.5 to 95 mm on radiographs of unstated
 * magnification (Rabari et al., Int J Res Orthop 2017/18); 85 mm lies between. Natural feet: 16.5 ± 3.8 cm preferred
 * distance (Bio-Med Mater Eng, article bme1085), half of it 82.5 mm. The others are common practice, no source.
 */
const assumed: Readonly<Record<PoseName, Assumed>> = {
  'feet-together': {
    hipMm: 85,
    ankleMm: 45,
    feetDown: 2,
    basis: 'feet together: half hip spacing 85 mm, half ankle spacing 45 mm, assumed (common practice, no source)',
  },
  natural: {
    hipMm: 85,
    ankleMm: 82.5,
    feetDown: 2,
    basis: 'natural stance: preferred foot distance 16.5 ± 3.8 cm (Bio-Med Mater Eng, bme1085), taken as ankle centres',
  },
  'one-leg': {
    hipMm: 85,
    ankleMm: 15,
    feetDown: 1,
    basis: 'one leg: geometric, no trunk shift; measured people shift trunk and pelvis, so the real lean is smaller',
  },
  own: {
    hipMm: 85,
    ankleMm: 45,
    feetDown: 2,
    basis: 'own pose: starts as feet together until numbers are entered',
  },
}

/**
 * The spacings, flexion and foot rotation of `pose`. Numbers entered in the case apply to the pose `own` and to the
 * pose shown; every other pose keeps its assumed values. mm and degrees.
 */
export function poseSpacing(pose: PoseName, choices: StanceChoices): PoseSpacing {
  const base = assumed[pose]
  const applies = pose === 'own' || pose === choices.pose
  const hip = applies ? choices.hipHalfSpacingMm : null
  const ankle = applies ? choices.ankleHalfSpacingMm : null
  const entered = hip !== null || ankle !== null
  const measured = choices.other?.hipHalfSpacingMm ?? null
  const turned = applies && (choices.flexionDeg !== 0 || choices.footRotationDeg !== 0)
  return {
    pose,
    hipHalfSpacingMm: hip ?? measured ?? base.hipMm,
    ankleHalfSpacingMm: ankle ?? base.ankleMm,
    spacingSource: entered ? 'entered' : measured !== null ? 'measured' : 'assumed',
    flexionDeg: applies ? choices.flexionDeg : 0,
    footRotationDeg: applies ? choices.footRotationDeg : 0,
    flexionSource: turned ? 'entered' : 'assumed',
    feetDown: base.feetDown,
    basis: entered
      ? `${pose}: spacing entered`
      : measured !== null
        ? `half hip spacing ${measured.toFixed(1)} mm, measured between both hip centres in the declared frame; ankles: ${base.basis}`
        : base.basis,
  }
}
