import {
  compose,
  type Frame,
  intoFrame,
  inverse,
  mapPoint,
  mapVector,
  outOfFrame,
  type Rigid,
  rotationAbout,
} from '../src/geometry/rigid.ts'
import { sub, toRad, type Vec3 } from '../src/geometry/vec.ts'
import type { FemurShape } from './femur-shape.ts'
import type { LegParameters } from './parameters.ts'
import type { TibiaShape } from './tibia-shape.ts'
import { castRay, inFrame } from './truth-search.ts'
import type { FemurTruth, LegTruth, TibiaTruth } from './truth-terms.ts'

/**
 * Where the tibia stands under the femur, model frame to model frame: straight knee, no rotation, spines under the notch,
 * the clear gaps along Y between the joint surfaces as the parameters say (which sets the coronal angle).
 */
export function tibiaPlacement(
  femurShape: FemurShape,
  femur: FemurTruth,
  /** Distal contact points in the femur frame: medial, lateral. */
  condyles: readonly [Vec3, Vec3],
  tibiaShape: TibiaShape,
  tibia: TibiaTruth,
  p: LegParameters,
): Rigid {
  const plateaus = [tibia.medial.point, tibia.lateral.point].map((q) => mapPoint(intoFrame(tibia.frame), q))
  const x = (condyles[0]![0] + condyles[1]![0]) / 2 - (plateaus[0]![0] + plateaus[1]![0]) / 2 + 2 * p.size
  const spacing = condyles[1]![2] - condyles[0]![2]
  const f = inFrame(femurShape.sdf, femur.frame)
  const roofs = sampled(f, 1, p.size)
  let varus = 0
  let y = condyles[0]![1] - plateaus[0]![1] - 5
  for (let pass = 0; pass < 12; pass++) {
    const g = inFrame(tibiaShape.sdf, tibiaFrameUnder(tibia.frame, varus, [x, y, 0]))
    const floors = sampled(g, -1, p.size)
    const gap = (from: number, to: number): number => {
      let least = Number.POSITIVE_INFINITY
      for (const [key, roof] of roofs) {
        const floor = floors.get(key)
        if (floor !== undefined && roof.z >= from && roof.z <= to) least = Math.min(least, roof.y - floor.y)
      }
      return least
    }
    const medial = gap(-60, -14 * p.size) - p.gapMedialMm
    const lateral = gap(14 * p.size, 60) - p.gapLateralMm
    y += (medial + lateral) / 2
    // Varus lifts the medial plateau towards its condyle.
    varus += (Math.atan2(medial - lateral, spacing) * 180) / Math.PI
    if (Math.abs(medial) + Math.abs(lateral) < 1e-3) break
  }
  const frame = poseUnder(varus, [x, y, 0])
  return compose(outOfFrame(femur.frame), compose(frame, intoFrame(tibia.frame)))
}

/** Tibia frame to femur frame: rotation by varus about X (ankle towards medial), then the shift. */
const poseUnder = (varusDeg: number, shift: Vec3): Rigid => ({
  rotation: rotationAbout([1, 0, 0], toRad(varusDeg)),
  translation: shift,
})

/** The femur frame's axes seen from the tibia's model frame when the tibia stands so: g = tibia sdf in femur coordinates. */
function tibiaFrameUnder(tibiaFrame: Frame, varusDeg: number, shift: Vec3): Frame {
  const modelFromFemur = compose(outOfFrame(tibiaFrame), inverse(poseUnder(varusDeg, shift)))
  return {
    origin: modelFromFemur.translation,
    x: mapVector(modelFromFemur, [1, 0, 0]),
    y: mapVector(modelFromFemur, [0, 1, 0]),
    z: mapVector(modelFromFemur, [0, 0, 1]),
  }
}

/** Heights of the joint surface on a 1.5 mm grid, seen from the joint space: femur from below (+1), tibia from above (−1). */
function sampled(
  f: (x: number, y: number, z: number) => number,
  towards: 1 | -1,
  size: number,
): Map<number, { y: number; z: number }> {
  const out = new Map<number, { y: number; z: number }>()
  const step = 1.5
  const half = Math.round((40 * size) / step)
  for (let i = -half; i <= half; i++)
    for (let j = -half; j <= half; j++) {
      const from: Vec3 = [i * step, towards > 0 ? -70 : 40, j * step]
      const t = castRay(f, from, [0, towards, 0], 110)
      if (t !== null) out.set(i * 1000 + j, { y: from[1] + towards * t, z: j * step })
    }
  return out
}

/** Right-leg model frame (X anterior, Y proximal, Z right) to the patient frame LPS; hip 90 mm right of the midline, 880 mm up. */
export function patientFromModel(femur: FemurTruth): Rigid {
  const turn: Rigid = { rotation: [0, 0, -1, -1, 0, 0, 0, 1, 0], translation: [0, 0, 0] }
  const hip = mapPoint(turn, femur.head.centre)
  return { rotation: turn.rotation, translation: sub([-90, 10, 880], hip) }
}

const moveFrame = (f: Frame, m: Rigid): Frame => ({
  origin: mapPoint(m, f.origin),
  x: mapVector(m, f.x),
  y: mapVector(m, f.y),
  z: mapVector(m, f.z),
})

/** The femur's truth after a rigid move. */
export function moveFemur(t: FemurTruth, m: Rigid): FemurTruth {
  const axis = <A extends { point: Vec3; direction: Vec3 }>(a: A): A => ({
    ...a,
    point: mapPoint(m, a.point),
    direction: mapVector(m, a.direction),
  })
  return {
    landmarks: mapValues(t.landmarks, (p) => mapPoint(m, p)),
    frame: moveFrame(t.frame, m),
    head: { ...t.head, centre: mapPoint(m, t.head.centre) },
    condylarCylinder: axis(t.condylarCylinder),
    distalShaft: axis(t.distalShaft),
    shaft: axis(t.shaft),
  }
}

/** The tibia's truth after a rigid move. */
export function moveTibia(t: TibiaTruth, m: Rigid): TibiaTruth {
  const plateau = (p: TibiaTruth['medial']) => ({ ...p, point: mapPoint(m, p.point), normal: mapVector(m, p.normal) })
  return {
    landmarks: mapValues(t.landmarks, (p) => mapPoint(m, p)),
    frame: moveFrame(t.frame, m),
    medial: plateau(t.medial),
    lateral: plateau(t.lateral),
    plafondNormal: mapVector(m, t.plafondNormal),
    proximalShaft: { point: mapPoint(m, t.proximalShaft.point), direction: mapVector(m, t.proximalShaft.direction) },
  }
}

/** The truth of the mirror image across the patient's midline (x → −x in LPS): a left leg with the same angles. */
export function mirrorTruth(t: LegTruth): LegTruth {
  const flip = (p: Vec3): Vec3 => [-p[0], p[1], p[2]]
  const frame = (f: Frame): Frame => ({
    origin: flip(f.origin),
    x: flip(f.x),
    y: flip(f.y),
    z: flip([-f.z[0], -f.z[1], -f.z[2]]),
  })
  const axis = <A extends { point: Vec3; direction: Vec3 }>(a: A): A => ({
    ...a,
    point: flip(a.point),
    direction: flip(a.direction),
  })
  const plateau = (p: TibiaTruth['medial']) => ({ ...p, point: flip(p.point), normal: flip(p.normal) })
  const cylinder = axis(t.femur.condylarCylinder)
  const d = cylinder.direction
  return {
    side: 'left',
    angles: t.angles,
    femur: {
      landmarks: mapValues(t.femur.landmarks, flip),
      frame: frame(t.femur.frame),
      head: { ...t.femur.head, centre: flip(t.femur.head.centre) },
      // Towards the subject's right again.
      condylarCylinder: { ...cylinder, direction: [-d[0], -d[1], -d[2]] },
      distalShaft: axis(t.femur.distalShaft),
      shaft: axis(t.femur.shaft),
    },
    tibia: {
      landmarks: mapValues(t.tibia.landmarks, flip),
      frame: frame(t.tibia.frame),
      medial: plateau(t.tibia.medial),
      lateral: plateau(t.tibia.lateral),
      plafondNormal: flip(t.tibia.plafondNormal),
      proximalShaft: axis(t.tibia.proximalShaft),
    },
  }
}

function mapValues<T extends Readonly<Record<string, Vec3>>>(record: T, map: (p: Vec3) => Vec3): T {
  return Object.fromEntries(Object.entries(record).map(([key, p]) => [key, map(p)])) as unknown as T
}
