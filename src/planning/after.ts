import type { FemurAnatomy, TibiaAnatomy } from '../anatomy/terms.ts'
import { distance, midpoint, toRad, type Vec3 } from '../geometry/vec.ts'
import type { FemoralCuts } from './femoral-cuts.ts'
import type { AfterCuts } from './planned.ts'
import type { TibialCut } from './tibial-cut.ts'

/** Bearing points of the placed components, each in its bone's patient frame. */
export interface PlacedBearings {
  readonly femur: { readonly medial: Vec3; readonly lateral: Vec3 }
  readonly tibia: { readonly medial: Vec3; readonly lateral: Vec3 }
}

/** Limb and joint lines with the components in (their own joint line convergence 0), mm and degrees. */
export function afterCuts(
  femur: FemurAnatomy,
  tibia: TibiaAnatomy,
  femoral: FemoralCuts,
  tibial: TibialCut,
  bearings: PlacedBearings,
): AfterCuts {
  const ldfaDeg = 90 - femoral.valgusDeg
  const mptaDeg = 90 - tibial.varusDeg
  const shift = (id: string) => femoral.sites.find((site) => site.id === id)?.differenceMm ?? null
  const hip = femur.truncated ? undefined : femur.landmarks.hipCentre?.mm
  const ankle = tibia.truncated ? undefined : tibia.landmarks.ankleCentre?.mm
  return {
    hkaDeg: 180 + mptaDeg - ldfaDeg,
    ldfaDeg,
    mptaDeg,
    slopeDeg: tibial.slopeDeg,
    jointLineShiftMedialMm: shift('femur-distal-medial'),
    jointLineShiftLateralMm: shift('femur-distal-lateral'),
    legLengthMm: hip && ankle ? legLengthMm(hip, ankle, bearings, ldfaDeg - mptaDeg) : null,
  }
}

/** Hip to ankle with the middles of both bearings in touch and the limb bent by its coronal deviation (check values §5.1, D). */
function legLengthMm(hip: Vec3, ankle: Vec3, { femur, tibia }: PlacedBearings, varusDeg: number): number {
  const thigh = distance(hip, midpoint(femur.medial, femur.lateral))
  const shank = distance(ankle, midpoint(tibia.medial, tibia.lateral))
  return Math.sqrt(thigh * thigh + shank * shank + 2 * thigh * shank * Math.cos(toRad(varusDeg)))
}
