import { planeBasis } from '../geometry/plane-basis.ts'
import {
  add,
  addScaled,
  cross,
  distance,
  dot,
  midpoint,
  reject,
  scale,
  sub,
  toRad,
  unit,
  type Vec3,
} from '../geometry/vec.ts'
import { cylinderArcDeg } from './condylar-cylinder.ts'
import { intoLimb, type LimbFrame, limbOfFrame, outOfLimb } from './limb.ts'
import type { Axis, BoneName, FemurAnatomy, LandmarkId, PlateauPatch, TibiaAnatomy } from './terms.ts'

export const drawnShapeIds = [
  'femoral-head',
  'neck',
  'femoral-shaft',
  'condylar-cylinder',
  'posterior-condyles',
  'epicondyles',
  'trochlear-groove',
  'medial-sulcus',
  'plateau-medial',
  'plateau-lateral',
  'tibial-front',
  'tibial-shaft',
  'malleoli',
] as const
export type DrawnShapeId = (typeof drawnShapeIds)[number]

/** One fit or line as it is drawn on its bone; patient frame of the bone, mm. */
export interface DrawnShape {
  readonly id: DrawnShapeId
  readonly bone: BoneName
  readonly lines: readonly (readonly Vec3[])[]
  /** Lines that are no surface but what is told of one: an axis, a chord. */
  readonly dashed: readonly (readonly Vec3[])[]
  /** Where its name stands. */
  readonly at: Vec3
}

/**
 * Every fit and reference line that was found, as lines on its bone: the head's sphere by three great circles, the condylar
 * cylinder over its flexion arc at both condyles with its axis, the groove's bottoms with their line, the middle of the shaft with
 * the chord of its bow, each plateau by the border of its patch on the surface and the trace of its slope in the fitted plane. What
 * was not found, or a bone that is null, is left out.
 */
export function drawnShapes(femur: FemurAnatomy | null, tibia: TibiaAnatomy | null): readonly DrawnShape[] {
  return [...(femur ? ofFemur(femur) : []), ...(tibia ? ofTibia(tibia) : [])]
}

type Lines = readonly (readonly Vec3[])[]

function ofFemur(femur: FemurAnatomy): readonly DrawnShape[] {
  const limb = limbOfFrame(femur.frame, femur.side)
  const mark = (id: LandmarkId): Vec3 | null => femur.landmarks[id]?.mm ?? null
  const shape = femur.shape
  const shapes: DrawnShape[] = []
  const draw = (id: DrawnShapeId, at: Vec3, lines: Lines, dashed: Lines = []) =>
    shapes.push({ id, bone: 'femur', lines, dashed, at })

  if (femur.head) {
    const { centre, radiusMm } = femur.head
    const circles = [limb.anterior, limb.proximal, limb.lateral].map((n) =>
      arc(centre, ...planeBasis(n), radiusMm, 0, 360),
    )
    draw('femoral-head', addScaled(centre, limb.proximal, radiusMm), circles)
    if (shape?.neck) draw('neck', addScaled(centre, shape.neck, 45), [], [[centre, addScaled(centre, shape.neck, 45)]])
  }
  const middle = shape?.shaftMiddle ?? []
  if (middle.length > 1)
    draw('femoral-shaft', middle[Math.floor(middle.length / 2)]!, [middle], [[middle[0]!, middle.at(-1)!]])
  const [backMedial, backLateral] = [mark('condylePosteriorMedial'), mark('condylePosteriorLateral')]
  if (femur.condylarCylinder && backMedial && backLateral) {
    const { point, direction, radiusMm } = femur.condylarCylinder
    const onAxis = (p: Vec3): Vec3 => addScaled(point, direction, dot(sub(p, point), direction))
    const down = unit(reject(scale(limb.proximal, -1), direction))
    const back = unit(reject(reject(scale(limb.anterior, -1), direction), down))
    const [from, to] = cylinderArcDeg
    const arcs = [backMedial, midpoint(backMedial, backLateral), backLateral].map((p) =>
      arc(onAxis(p), down, back, radiusMm, from, to),
    )
    const edges = [0, -1].map((k) => arcs.map((points) => points.at(k)!))
    const outwards = unit(sub(onAxis(backLateral), onAxis(backMedial)))
    const axis = [addScaled(onAxis(backMedial), outwards, -25), addScaled(onAxis(backLateral), outwards, 25)]
    draw('condylar-cylinder', axis[1]!, [...arcs, ...edges], [axis])
  }
  if (backMedial && backLateral) draw('posterior-condyles', backLateral, [[backMedial, backLateral]])
  const [medial, lateral] = [mark('epicondyleMedial'), mark('epicondyleLateral')]
  if (medial && lateral) draw('epicondyles', lateral, [[medial, lateral]])
  if (shape?.groove) {
    const { points, lateralMm, proximalLateralDeg } = shape.groove
    const lean = Math.tan(toRad(proximalLateralDeg))
    const straight = points.map((p) => {
      const [x, y] = intoLimb(limb, p)
      return outOfLimb(limb, [x, y, lateralMm + y * lean])
    })
    draw('trochlear-groove', points.at(-1)!, [points], [straight])
  }
  if (shape?.sulcus && medial) {
    const { mm } = shape.sulcus
    draw('medial-sulcus', mm, crossAt(mm, limb, 3), [[mm, medial]])
  }
  return shapes
}

function ofTibia(tibia: TibiaAnatomy): readonly DrawnShape[] {
  const limb = limbOfFrame(tibia.frame, tibia.side)
  const mark = (id: LandmarkId): Vec3 | null => tibia.landmarks[id]?.mm ?? null
  const shapes: DrawnShape[] = []
  const draw = (id: DrawnShapeId, at: Vec3, lines: Lines, dashed: Lines = []) =>
    shapes.push({ id, bone: 'tibia', lines, dashed, at })
  for (const side of ['medial', 'lateral'] as const) {
    const patch = tibia[side]
    // Where the surface tells no slope the plane is a stand-in: nothing was fitted that could be drawn.
    if (patch.slopeUnclear || !(patch.areaMm2 > 0)) continue
    const trace = traceOf(patch, limb)
    draw(`plateau-${side}`, trace[1], [patch.border ?? [], trace])
  }
  const [back, front] = [mark('posteriorNotch'), mark('tubercleMedialThird')]
  if (back && front) draw('tibial-front', front, [], [[back, add(back, reject(sub(front, back), limb.proximal))]])
  const centre = mark('tibialKneeCentre')
  // A scan too short for a shaft tells no slope against one either.
  const shown = !(tibia.truncated && tibia.medial.slopeUnclear && tibia.lateral.slopeUnclear)
  if (centre && shown) {
    const ankle = mark('ankleCentre')
    const lengthMm = ankle ? distance(centre, ankle) : standInLengthMm
    const axis = stretch(tibia.proximalShaft, centre, limb.proximal, -0.4 * lengthMm, 0)
    draw('tibial-shaft', axis[0]!, [], [axis])
  }
  const [inner, outer] = [mark('malleolusMedial'), mark('malleolusLateral') ?? mark('ankleCentre')]
  if (inner && outer) draw('malleoli', inner, [], [[inner, outer]])
  return shapes
}

/** Length of a tibia of which the scan shows no ankle, for drawing only, mm. */
const standInLengthMm = 250

/** The slope of a plateau as a line in its plane, somewhat longer than its patch. */
function traceOf({ point, normal, areaMm2 }: PlateauPatch, limb: LimbFrame): readonly [Vec3, Vec3] {
  const halfMm = 1.4 * Math.sqrt(areaMm2 / Math.PI)
  const sagittal = unit(cross(normal, limb.lateral))
  return [addScaled(point, sagittal, -halfMm), addScaled(point, sagittal, halfMm)]
}

/** The part of an axis between two levels, measured along `up` from `origin`, mm. */
function stretch(
  { point, direction }: Axis,
  origin: Vec3,
  up: Vec3,
  fromMm: number,
  toMm: number,
): readonly [Vec3, Vec3] {
  const rise = dot(direction, up)
  const at = (levelMm: number): Vec3 => addScaled(point, direction, (levelMm - dot(sub(point, origin), up)) / rise)
  return [at(fromMm), at(toMm)]
}

/** Points of a circle from one angle to another, degrees, measured from `u` towards `v`. */
function arc(centre: Vec3, u: Vec3, v: Vec3, radiusMm: number, fromDeg: number, toDeg: number): Vec3[] {
  const steps = Math.max(1, Math.round((toDeg - fromDeg) / 5))
  return Array.from({ length: steps + 1 }, (_, k) => {
    const turn = toRad(fromDeg + ((toDeg - fromDeg) * k) / steps)
    return add(centre, add(scale(u, radiusMm * Math.cos(turn)), scale(v, radiusMm * Math.sin(turn))))
  })
}

const crossAt = (at: Vec3, { anterior, proximal, lateral }: LimbFrame, halfMm: number): Lines =>
  [anterior, proximal, lateral].map((way) => [addScaled(at, way, -halfMm), addScaled(at, way, halfMm)])
