import { jointPose } from '../../src/anatomy/joint-pose.ts'
import {
  type FemurAnatomy,
  type KneeAngles,
  type Landmark,
  type Side,
  sideFactor,
  type TibiaAnatomy,
} from '../../src/anatomy/terms.ts'
import {
  compose,
  type Frame,
  identityRigid,
  mapPoint,
  mapVector,
  type Rigid,
  rotationAbout,
} from '../../src/geometry/rigid.ts'
import { cross, toRad, unit, type Vec3 } from '../../src/geometry/vec.ts'
import type { AfterCuts, PlacedTray } from '../../src/planning/planned.ts'

/** A knee with known numbers, turned into any file frame; no mesh. mm and degrees. */
export interface KneeNumbers {
  readonly side: Side
  readonly ldfaDeg: number
  readonly mptaDeg: number
  readonly hkaDeg: number | null
  readonly cutMptaDeg: number
  readonly cutLdfaDeg: number
  readonly cutSlopeDeg: number
  /** From the bone frames to each file's frame. */
  readonly femurFile?: Rigid
  readonly tibiaFile?: Rigid
}

const at = (mm: Vec3): Landmark => ({ mm, confidence: 1, residualMm: 0, sdMm: 0, source: 'found', reason: null })

export function knee(n: KneeNumbers): {
  femur: FemurAnatomy
  tibia: TibiaAnatomy
  angles: KneeAngles
  plan: { after: AfterCuts; tray: PlacedTray; procedure: 'total'; sites: [] }
} {
  const s = sideFactor(n.side)
  const f = n.femurFile ?? identityRigid
  const t = n.tibiaFile ?? identityRigid
  const femur: FemurAnatomy = {
    side: n.side,
    landmarks: {
      hipCentre: at(mapPoint(f, [0, 430, 0])),
      condyleDistalMedial: at(mapPoint(f, [0, -16, -22 * s])),
      condyleDistalLateral: at(mapPoint(f, [0, -16 + 44 * Math.tan(toRad(90 - n.ldfaDeg)), 22 * s])),
    },
    frame: frameAt(f),
    head: null,
    condylarCylinder: null,
    distalShaft: { point: mapPoint(f, [0, 100, 0]), direction: mapVector(f, [0, 1, 0]) },
    shaft: { point: mapPoint(f, [0, 100, 0]), direction: mapVector(f, [0, 1, 0]) },
    truncated: false,
  }
  const rise = 20 * Math.tan(toRad(90 - n.mptaDeg))
  const plateau = (z: number, y: number) => ({
    point: mapPoint(t, [0, y, z]),
    normal: mapVector(t, [0, 1, 0]),
    areaMm2: 500,
    rmsMm: 0,
  })
  const tibia: TibiaAnatomy = {
    side: n.side,
    landmarks: { ankleCentre: at(mapPoint(t, [0, -370, 0])) },
    frame: frameAt(t),
    medial: plateau(-20 * s, -8 - rise),
    lateral: plateau(20 * s, -8 + rise),
    proximalShaft: { point: mapPoint(t, [0, -80, 0]), direction: mapVector(t, [0, 1, 0]) },
    truncated: false,
  }
  const varus = toRad(90 - n.cutMptaDeg)
  const slope = toRad(n.cutSlopeDeg)
  const normal = unit([-Math.tan(slope), 1, -s * Math.tan(varus)])
  const medial = unit([0, -Math.sin(varus), -s * Math.cos(varus)])
  const across = cross(normal, medial)
  const posterior: Vec3 = s === 1 ? across : [-across[0], -across[1], -across[2]]
  const tray: PlacedTray = {
    centre: mapPoint(t, [0, -12, 0]),
    normal: mapVector(t, normal),
    medial: mapVector(t, medial),
    posterior: mapVector(t, posterior),
    outline: [-35, 35].map((x) => mapPoint(t, [medial[0] * x, -12 + medial[1] * x, medial[2] * x])),
  }
  const pose = jointPose(femur.frame, tibia.frame, n.side)
  return {
    femur,
    tibia,
    angles: {
      hkaDeg: n.hkaDeg,
      hkaOneCentreDeg: n.hkaDeg,
      ldfaDeg: n.ldfaDeg,
      mptaDeg: n.mptaDeg,
      mptaPlainDeg: n.mptaDeg,
      jlcaDeg: null,
      jlcaLinesDeg: null,
      arithmeticHkaDeg: n.mptaDeg - n.ldfaDeg,
      jointLineObliquityDeg: n.mptaDeg + n.ldfaDeg,
      coronalType: null,
      slopeMedialDeg: 0,
      slopeLateralDeg: 0,
      posteriorCondylarDeg: null,
      pdfaDeg: null,
      anteversionDeg: null,
      tibialTorsionDeg: null,
      kneePose:
        n.hkaDeg === null ? null : { ...pose, externalRotationDeg: 0, lateralMm: 0, anteriorMm: 0, proximalMm: 0 },
    },
    plan: {
      after: {
        hkaDeg: 180 + n.cutMptaDeg - n.cutLdfaDeg,
        ldfaDeg: n.cutLdfaDeg,
        mptaDeg: n.cutMptaDeg,
        slopeDeg: n.cutSlopeDeg,
        jointLineShiftMedialMm: 0,
        jointLineShiftLateralMm: 0,
        legLengthMm: 800,
      },
      tray,
      procedure: 'total',
      sites: [],
    },
  }
}

/** An arbitrary file frame. */
export const turnedFile = (degrees: number, shift: Vec3): Rigid =>
  compose(
    { rotation: rotationAbout([0.3, -0.5, 0.8], toRad(degrees)), translation: shift },
    { rotation: rotationAbout([1, 0.2, 0.1], toRad(2 * degrees)), translation: [0, 0, 0] },
  )

const frameAt = (file: Rigid): Frame => ({
  origin: mapPoint(file, [0, 0, 0]),
  x: mapVector(file, [1, 0, 0]),
  y: mapVector(file, [0, 1, 0]),
  z: mapVector(file, [0, 0, 1]),
})
