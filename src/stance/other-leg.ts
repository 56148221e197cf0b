import type { FemurAnatomy, KneeAngles, PatientFrame, TibiaAnatomy } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import { distance, toRad, type Vec3 } from '../geometry/vec.ts'

/** The other leg as its own files tell it; what a stance needs of it, without its meshes. mm, degrees. */
export interface OtherLeg {
  /** Hip centre to ankle centre, knee centres together. */
  readonly legLengthMm: number
  /** Varus positive; the limb axis it was measured with. */
  readonly varusDeg: number
  /** Half the distance between both hip centres; null where the files do not share one declared frame. */
  readonly hipHalfSpacingMm: number | null
  /** SHA-256 of its femur and tibia. */
  readonly files: readonly string[]
}

/** Hip centres of a person do not stand nearer or farther than this, mm. */
const hipsApart = { least: 110, most: 280 } as const

/**
 * Length, limb axis and hip spacing of the other leg (chain of check values §5.1, D). `operatedHip` in the patient frame of the
 * operated femur's file; hips are compared only where one frame is declared for all files. Without hip, ankle or limb axis:
 * `landmark/missing`; hips that cannot be one person's: `stance/degenerate`.
 */
export function measureOtherLeg(
  other: { readonly femur: FemurAnatomy; readonly tibia: TibiaAnatomy; readonly angles: KneeAngles },
  operatedHip: Vec3 | null,
  frame: PatientFrame,
  files: readonly string[],
): Result<OtherLeg> {
  const { femur, tibia, angles } = other
  const hip = femur.truncated ? undefined : femur.landmarks.hipCentre?.mm
  const ankle = tibia.truncated ? undefined : tibia.landmarks.ankleCentre?.mm
  const hka = angles.hkaDeg ?? (angles.arithmeticHkaDeg === null ? null : 180 + angles.arithmeticHkaDeg)
  if (!(hip && ankle) || hka === null)
    return fail('landmark/missing', 'The other leg needs its hip, its ankle and its limb axis.', {
      hint: 'Without them it stays the mirror image of this one.',
    })
  const [thigh, shank] = [distance(hip, femur.frame.origin), distance(ankle, tibia.frame.origin)]
  const varusDeg = 180 - hka
  const legLengthMm = Math.sqrt(thigh * thigh + shank * shank + 2 * thigh * shank * Math.cos(toRad(varusDeg)))
  const apart = frame === 'unknown' || operatedHip === null ? null : distance(hip, operatedHip)
  if (apart !== null && !(apart >= hipsApart.least && apart <= hipsApart.most))
    return fail(
      'stance/degenerate',
      `Both hip centres lie ${apart.toFixed(0)} mm apart: not one person in one frame.`,
      {
        hint: 'Leave the frame undeclared if the files do not share one.',
        place: 'frame',
      },
    )
  return ok({ legLengthMm, varusDeg, hipHalfSpacingMm: apart === null ? null : apart / 2, files })
}
