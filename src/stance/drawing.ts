import { type FemurAnatomy, type Side, sideFactor, type TibiaAnatomy } from '../anatomy/terms.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { type Point2, outline as shadow } from '../geometry/outline.ts'
import { type Frame, intoFrame, mapPoint, mapVector, type Rigid, rotate, transpose } from '../geometry/rigid.ts'
import { addScaled, cross, dot, reject, sub, toDeg, toRad, unit, type Vec3 } from '../geometry/vec.ts'
import type { PlacedTray } from '../planning/planned.ts'
import { type OtherLegBones, type OtherLegStanding, standOtherLeg } from './stand-other-leg.ts'
import type { Standing } from './standing.ts'
import type { PoseName } from './terms.ts'

/** A point of the frontal drawing, mm: to the subject's right of the mid-line, and up from the floor. */
export type FrontalPoint = readonly [rightMm: number, upMm: number]
export type FrontalLoop = readonly FrontalPoint[]

/** One leg as drawn from the front. */
export interface DrawnLeg {
  readonly side: Side
  /** Shown as the mirror image of the operated leg, since its own bones are not at hand. */
  readonly mirrored: boolean
  readonly femur: readonly FrontalLoop[]
  readonly tibia: readonly FrontalLoop[]
  readonly hip: FrontalPoint
  readonly knee: FrontalPoint
  readonly ankle: FrontalPoint
}

/**
 * The frontal picture of a pose, from the posed meshes: true scale, mm, floor at up = 0. Facing the subject, `right`
 * lies on the viewer's left: a view from the front draws x = −right.
 */
export interface StanceDrawing {
  readonly pose: PoseName
  readonly side: Side
  /** The operated leg first; the other one only where both feet are on the floor. */
  readonly legs: readonly DrawnLeg[]
  /** The tray's widest line, medial end to lateral end. */
  readonly tray: { readonly medial: FrontalPoint; readonly lateral: FrontalPoint; readonly coronalDeg: number }
  /** From the hip centre straight down to the floor. */
  readonly plumb: readonly [FrontalPoint, FrontalPoint]
  /** Hip centre to ankle centre. */
  readonly loadLine: readonly [FrontalPoint, FrontalPoint]
  /** Femoral knee axis across the condyles, medial to lateral. */
  readonly kneeAxis: readonly [FrontalPoint, FrontalPoint]
  /** Where the other leg's own bones stand; null where it is the mirror image, or the leg stands alone. */
  readonly other: OtherLegStanding | null
  readonly boxMm: { readonly low: FrontalPoint; readonly high: FrontalPoint }
}

export interface DrawingInput {
  readonly standing: Standing
  readonly side: Side
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
  readonly femurMesh: Mesh
  readonly tibiaMesh: Mesh
  readonly tray: PlacedTray
  /** The other leg's own bones, where they are at hand. */
  readonly other?: OtherLegBones | null
}

const cellMm = 1.5
const turnStepDeg = 3

/** Draws a pose from the front. The shadows are remembered per mesh and viewing direction, so that a drag only moves them. */
export function stanceDrawing(input: DrawingInput): StanceDrawing {
  const { standing, side, femur, tray } = input
  const s = sideFactor(side)
  const operated = drawnLeg(input, standing)
  const alone = standing.pose === 'one-leg'
  const beside = alone || !input.other ? null : standOtherLeg(input.other, standing)
  const second = input.other && beside ? drawnLeg(input.other, beside) : mirroredLeg(operated)
  const legs = alone ? [operated] : [operated, second]
  const [medial, lateral] = trayEnds(tray)
  const kneeMiddle = femur.frame.origin
  return {
    pose: standing.pose,
    side,
    legs,
    tray: {
      medial: frontal(mapPoint(standing.stanceFromTibia, medial)),
      lateral: frontal(mapPoint(standing.stanceFromTibia, lateral)),
      coronalDeg: standing.trayToFloorCoronalDeg,
    },
    plumb: [operated.hip, [operated.hip[0], 0]],
    loadLine: [operated.hip, operated.ankle],
    kneeAxis: [
      frontal(mapPoint(standing.stanceFromFemur, addScaled(kneeMiddle, femur.frame.z, -45 * s))),
      frontal(mapPoint(standing.stanceFromFemur, addScaled(kneeMiddle, femur.frame.z, 45 * s))),
    ],
    other: beside,
    boxMm: boxOf(legs),
  }
}

type LegToDraw = Pick<DrawingInput, 'side' | 'femur' | 'tibia' | 'femurMesh' | 'tibiaMesh'>

function drawnLeg({ side, femur, tibia, femurMesh, tibiaMesh }: LegToDraw, stands: OtherLegStanding): DrawnLeg {
  return {
    side,
    mirrored: false,
    femur: boneLoops(femurMesh, femur.frame, stands.stanceFromFemur),
    tibia: boneLoops(tibiaMesh, tibia.frame, stands.stanceFromTibia),
    hip: frontal(mapPoint(stands.stanceFromFemur, femur.landmarks.hipCentre?.mm ?? topOf(femur.frame))),
    knee: frontal(mapPoint(stands.stanceFromFemur, femur.frame.origin)),
    ankle: frontal(mapPoint(stands.stanceFromTibia, tibia.landmarks.ankleCentre?.mm ?? bottomOf(tibia.frame))),
  }
}

const frontal = (p: Vec3): FrontalPoint => [p[2], p[1]]
const topOf = (frame: Frame): Vec3 => addScaled(frame.origin, frame.y, 430)
const bottomOf = (frame: Frame): Vec3 => addScaled(frame.origin, frame.y, -370)

function trayEnds({ centre, medial, outline }: PlacedTray): readonly [Vec3, Vec3] {
  const along = outline.map((p) => dot(sub(p, centre), medial))
  return [addScaled(centre, medial, Math.max(0, ...along)), addScaled(centre, medial, Math.min(0, ...along))]
}

function mirroredLeg(leg: DrawnLeg): DrawnLeg {
  const across = (p: FrontalPoint): FrontalPoint => [-p[0], p[1]]
  const loops = (all: readonly FrontalLoop[]) => all.map((loop) => loop.map(across).reverse())
  return {
    side: leg.side === 'left' ? 'right' : 'left',
    mirrored: true,
    femur: loops(leg.femur),
    tibia: loops(leg.tibia),
    hip: across(leg.hip),
    knee: across(leg.knee),
    ankle: across(leg.ankle),
  }
}

interface FlatShadow {
  readonly origin: Vec3
  readonly u: Vec3
  readonly v: Vec3
  readonly loops: readonly (readonly Point2[])[]
}

const shadows = new WeakMap<Mesh, Map<string, FlatShadow>>()
const shadowsKept = 12

/** Loops of a bone's shadow on the frontal plane; the viewing direction is rounded to 3° so that shadows can be kept. */
function boneLoops(mesh: Mesh, frame: Frame, stanceFromPatient: Rigid): FrontalLoop[] {
  const flat = keptShadow(mesh, frame, stanceFromPatient)
  return flat.loops.map((loop) =>
    loop.map(([a, b]) => frontal(mapPoint(stanceFromPatient, addScaled(addScaled(flat.origin, flat.u, a), flat.v, b)))),
  )
}

function keptShadow(mesh: Mesh, frame: Frame, stanceFromPatient: Rigid): FlatShadow {
  const forward = mapVector(intoFrame(frame), rotate(transpose(stanceFromPatient.rotation), [1, 0, 0]))
  const yaw = roundTo(toDeg(Math.atan2(forward[2], forward[0])))
  const pitch = roundTo(toDeg(Math.asin(Math.max(-1, Math.min(1, forward[1])))))
  const key = `${yaw},${pitch},${frame.origin.join()},${frame.y.join()},${frame.x.join()}`
  const ofMesh = shadows.get(mesh) ?? new Map<string, FlatShadow>()
  shadows.set(mesh, ofMesh)
  const found = ofMesh.get(key)
  if (found) return found
  const made = castShadow(mesh, frame, toRad(yaw), toRad(pitch))
  if (ofMesh.size >= shadowsKept) ofMesh.clear()
  ofMesh.set(key, made)
  return made
}

const roundTo = (deg: number): number => Math.round(deg / turnStepDeg) * turnStepDeg

function castShadow(mesh: Mesh, frame: Frame, yaw: number, pitch: number): FlatShadow {
  const flat = Math.cos(pitch)
  const inFrame: Vec3 = [flat * Math.cos(yaw), Math.sin(pitch), flat * Math.sin(yaw)]
  const forward = unit(rotate(transpose(intoFrame(frame).rotation), inFrame))
  const v = unit(reject(frame.y, forward))
  const u = cross(forward, v)
  const offset: Point2 = [-dot(u, frame.origin), -dot(v, frame.origin)]
  return { origin: frame.origin, u, v, loops: shadow(mesh, { u, v, offset }, cellMm) }
}

function boxOf(legs: readonly DrawnLeg[]): StanceDrawing['boxMm'] {
  let [left, low, right, high] = [Infinity, 0, -Infinity, -Infinity]
  for (const leg of legs)
    for (const [x, y] of [leg.hip, leg.ankle, ...leg.femur.flat(), ...leg.tibia.flat()]) {
      left = Math.min(left, x)
      right = Math.max(right, x)
      low = Math.min(low, y)
      high = Math.max(high, y)
    }
  return { low: [left, low], high: [right, high] }
}
