import type { Mesh } from '../geometry/mesh.ts'
import { distance, dot, scale, sub, toDeg, type Vec3 } from '../geometry/vec.ts'
import { chanceAt } from './away-from-found.ts'
import { type LimbFrame, limbOfFrame } from './limb.ts'
import { reach } from './reach.ts'
import type { FemurAnatomy, Landmark, LandmarkId, TibiaAnatomy } from './terms.ts'

/** What speaks against a landmark, and how sure that leaves it. */
export interface Doubt {
  readonly confidence: number
  readonly reason: string
}

/**
 * What the end of a bone that a scan shows says of a hip or ankle centre (patient frame) that it does not show: how the axis to it
 * leans off the shaft, and how long it makes the bone for the width of its knee. Where nothing speaks against it, it is still only
 * fair, unless a file of its own shows it. Empty for every other landmark.
 */
export function beyondScan(
  id: LandmarkId,
  mark: Landmark,
  mesh: Mesh,
  bone: FemurAnatomy | TibiaAnatomy,
): readonly Doubt[] {
  const { mm, from } = mark
  const femur = 'distalShaft' in bone
  if (!(femur ? id === 'hipCentre' : id === 'ankleCentre')) return []
  const usual = femur ? usualFemur : usualTibia
  const limb = limbOfFrame(bone.frame, bone.side)
  const shaft = femur ? bone.distalShaft.direction : bone.proximalShaft.direction
  const way = femur ? sub(mm, limb.origin) : sub(limb.origin, mm)
  const [medialDeg, frontDeg] = leansDeg(way, shaft, limb)
  const short = reach(mesh, limb.origin, scale(limb.proximal, femur ? 1 : -1)) < shortStumpMm ? shortStumpFactor : 1
  const [a, b] = femur
    ? (['epicondyleMedial', 'epicondyleLateral'] as const)
    : (['plateauMedial', 'plateauLateral'] as const)
  const [p, q] = [bone.landmarks[a]?.mm, bone.landmarks[b]?.mm]
  const widthMm = p && q ? distance(p, q) : null
  const lengthMm = distance(mm, limb.origin)
  const doubts: Doubt[] = from
    ? []
    : [
        {
          confidence: unseen,
          reason: 'No surface shows it: only its distance and direction from the knee could be checked.',
        },
      ]
  const hold = (value: number, { mean, sd }: Usual, reason: (low: string, high: string) => string) => {
    const range = [mean - 2 * sd, mean + 2 * sd].map((end) => end.toFixed(0))
    doubts.push({ confidence: chanceAt(Math.abs(value - mean) / sd, 1), reason: reason(range[0]!, range[1]!) })
  }
  hold(
    medialDeg,
    wider(usual.medialDeg, short),
    (low, high) =>
      `The axis to it leans ${medialDeg.toFixed(0)}° medially off the shaft, where ${low}° to ${high}° are usual.`,
  )
  hold(
    frontDeg,
    wider(usual.frontDeg, short),
    (low, high) =>
      `The axis to it leans ${frontDeg.toFixed(0)}° forwards off the shaft, where ${low}° to ${high}° are usual.`,
  )
  if (widthMm !== null)
    hold(
      lengthMm,
      { mean: usual.ratio.mean * widthMm, sd: usual.ratio.sd * widthMm },
      (low, high) =>
        `It makes this bone ${lengthMm.toFixed(0)} mm long, where ${low} to ${high} mm are usual for a knee so wide.`,
    )
  return doubts
}

interface Usual {
  readonly mean: number
  readonly sd: number
}

/**
 * Of ten real and synthetic bones each, cut off 70, 110 and 150 mm from the knee (SDs rounded up): the axis to the joint centre against
 * the shaft that is left, and the length over the distance of the epicondyles or of the plateau points.
 */
const usualFemur = { medialDeg: { mean: 7, sd: 2.5 }, frontDeg: { mean: -4, sd: 2.5 }, ratio: { mean: 5, sd: 0.35 } }
const usualTibia = { medialDeg: { mean: -0.5, sd: 2 }, frontDeg: { mean: 0, sd: 2.5 }, ratio: { mean: 8.6, sd: 0.65 } }
/** Less shaft than this shows its direction worse by so much. */
const shortStumpMm = 100
const shortStumpFactor = 1.6

/** Confidence of what no surface shows. */
const unseen = 0.7

const wider = ({ mean, sd }: Usual, factor: number): Usual => ({ mean, sd: factor * sd })

/** How far an axis leans medially and forwards off a shaft (both proximal), degrees. */
function leansDeg(axis: Vec3, shaft: Vec3, { proximal, anterior, lateral }: LimbFrame): readonly [number, number] {
  const lean = (v: Vec3, to: Vec3) => toDeg(Math.atan2(dot(v, to), dot(v, proximal)))
  return [lean(shaft, lateral) - lean(axis, lateral), lean(axis, anterior) - lean(shaft, anterior)]
}
