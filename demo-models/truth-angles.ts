import { type Frame, intoFrame, mapPoint, mapVector } from '../src/geometry/rigid.ts'
import { cross, dot, sub, toDeg, unit, type Vec3 } from '../src/geometry/vec.ts'
import type { AnglesTruth, FemurTruth, TibiaTruth } from './truth-terms.ts'

/**
 * Angles between and within two right bones that share a frame; joint coordinate system after Grood and Suntay
 * (J Biomech Eng 1983), written here apart from the program's own.
 */
export function legAngles(
  femur: FemurTruth,
  tibia: TibiaTruth,
  own: {
    readonly ldfaDeg: number
    readonly mptaDeg: number
    readonly mptaPlainDeg: number
    readonly slopeMedialDeg: number
    readonly slopeLateralDeg: number
  },
): AnglesTruth {
  const pose = jointPose(femur.frame, tibia.frame)
  const hkaDeg = 180 - pose.varusDeg
  const oneCentre = unit(sub(femur.frame.origin, tibia.landmarks.ankleCentre))
  const epicondyles = mapVector(
    intoFrame(femur.frame),
    sub(femur.landmarks.epicondyleLateral, femur.landmarks.epicondyleMedial),
  )
  return {
    hkaDeg,
    hkaOneCentreDeg: 180 - toDeg(Math.asin(dot(femur.frame.z, oneCentre))),
    ldfaDeg: own.ldfaDeg,
    mptaDeg: own.mptaDeg,
    mptaPlainDeg: own.mptaPlainDeg,
    jlcaDeg: own.mptaDeg - own.ldfaDeg - (hkaDeg - 180),
    jlcaLinesDeg: openingLaterally(femur, tibia),
    arithmeticHkaDeg: own.mptaDeg - own.ldfaDeg,
    jointLineObliquityDeg: own.mptaDeg + own.ldfaDeg,
    slopeMedialDeg: own.slopeMedialDeg,
    slopeLateralDeg: own.slopeLateralDeg,
    posteriorCondylarDeg: toDeg(Math.atan2(-epicondyles[0], epicondyles[2])),
    kneePose: pose,
  }
}

/** Flexion, varus and external rotation of a right knee, degrees, and how far its knee centres lie apart, mm. */
export function jointPose(f: Frame, t: Frame): AnglesTruth['kneePose'] {
  const e2 = unit(cross(t.y, f.z))
  const centres = sub(t.origin, f.origin)
  return {
    flexionDeg: toDeg(Math.atan2(-dot(e2, f.y), dot(e2, f.x))),
    varusDeg: toDeg(Math.asin(dot(f.z, t.y))),
    externalRotationDeg: toDeg(Math.atan2(-dot(e2, t.z), dot(e2, t.x))),
    lateralMm: dot(centres, f.z),
    anteriorMm: dot(centres, e2),
    proximalMm: dot(centres, t.y),
  }
}

/** Angle of the two joint lines in the femoral coronal plane, opening laterally positive. */
function openingLaterally(femur: FemurTruth, tibia: TibiaTruth): number {
  const into = intoFrame(femur.frame)
  const femoral = mapVector(into, sub(femur.landmarks.condyleDistalLateral, femur.landmarks.condyleDistalMedial))
  const [medial, lateral] = levelledPlateaus(tibia)
  const tibial = sub(mapPoint(into, lateral), mapPoint(into, medial))
  return toDeg(Math.atan2(femoral[1], femoral[2]) - Math.atan2(tibial[1], tibial[2]))
}

/** Both plateau points moved along their own sagittal trace to their common antero-posterior level. */
function levelledPlateaus(tibia: TibiaTruth): [Vec3, Vec3] {
  const { frame } = tibia
  const into = intoFrame(frame)
  const x = (mapPoint(into, tibia.medial.point)[0] + mapPoint(into, tibia.lateral.point)[0]) / 2
  const move = ({ point, normal }: TibiaTruth['medial']): Vec3 => {
    const p = mapPoint(into, point)
    const n = mapVector(into, normal)
    const y = p[1] - (n[0] / n[1]) * (x - p[0])
    return [0, 1, 2].map(
      (k) => frame.origin[k]! + x * frame.x[k]! + y * frame.y[k]! + p[2] * frame.z[k]!,
    ) as unknown as Vec3
  }
  return [move(tibia.medial), move(tibia.lateral)]
}
