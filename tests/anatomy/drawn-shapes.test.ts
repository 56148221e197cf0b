import { describe, expect, it } from 'vitest'
import { type DrawnShapeId, drawnShapes } from '../../src/anatomy/drawn-shapes.ts'
import { femoralShape } from '../../src/anatomy/femoral-shape.ts'
import { intoLimb, limbOfFrame } from '../../src/anatomy/limb.ts'
import { anglesOfKnee } from '../../src/anatomy/measure-angles.ts'
import { defaultReferences } from '../../src/anatomy/terms.ts'
import { closestPoint } from '../../src/geometry/query.ts'
import {
  add,
  cross,
  distance,
  dot,
  length,
  reject,
  scale,
  sub,
  toDeg,
  unit,
  type Vec3,
} from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'
import { boneOf, femurOf, realMesh, tibiaOf } from './bones.ts'

const femurMesh = realMesh('bp3d/femur_right.stl')
const found = femurOf(femurMesh)
const femur = { ...found, shape: femoralShape(boneOf(femurMesh), found) }
const tibia = tibiaOf(realMesh('bp3d/tibia_right.stl'))
const shapes = drawnShapes(femur, tibia)
const drawn = (id: DrawnShapeId) => shapes.find((shape) => shape.id === id)!
const exactly = { abs: 1e-9, because: 'the same fit, drawn: only rounding lies between' }

describe('what is drawn of the fits on a real leg', () => {
  it('the head is drawn on its sphere', () => {
    for (const p of drawn('femoral-head').lines.flat())
      expectNear(distance(p, femur.head!.centre), femur.head!.radiusMm, exactly)
  })

  it('the condylar cylinder is drawn on itself, from 20° to 120° of flexion from distal', () => {
    const { point, direction, radiusMm } = femur.condylarCylinder!
    const { lines } = drawn('condylar-cylinder')
    for (const p of lines.flat()) expectNear(length(reject(sub(p, point), direction)), radiusMm, exactly)
    const limb = limbOfFrame(femur.frame, femur.side)
    const distal = unit(reject(scale(limb.proximal, -1), direction))
    const turn = (p: Vec3) => toDeg(Math.acos(dot(unit(reject(sub(p, point), direction)), distal)))
    for (const arc of lines.slice(0, 3)) {
      expectNear(turn(arc[0]!), 20, { abs: 1e-6, because: 'acos near the ends of the arc loses digits' })
      expectNear(turn(arc.at(-1)!), 120, { abs: 1e-6, because: 'acos near the ends of the arc loses digits' })
      expect(dot(sub(arc[12]!, point), limb.anterior)).toBeLessThan(0)
    }
  })

  it('the groove’s line leaves over its bottoms what is reported', () => {
    const { lines, dashed } = drawn('trochlear-groove')
    const apart = lines[0]!.map((p, k) => distance(p, dashed[0]![k]!))
    const rms = Math.sqrt(apart.reduce((sum, d) => sum + d * d, 0) / apart.length)
    expectNear(rms, femur.shape.groove!.rmsMm, exactly)
  })

  it('the chord of the shaft and its farthest point are the bow’s', () => {
    const { lines, dashed } = drawn('femoral-shaft')
    const [from, to] = dashed[0] as [Vec3, Vec3]
    expectNear(distance(from, to), femur.shape.bow!.chordMm, exactly)
    const off = lines[0]!.map((p) => length(reject(sub(p, from), unit(sub(to, from)))))
    expectNear(Math.max(...off), femur.shape.bow!.mm, exactly)
  })

  it.each(['medial', 'lateral'] as const)(
    'the %s plateau’s trace has the slope of the angle, its border lies on the bone about the area of the patch',
    (side) => {
      const [border, trace] = drawn(`plateau-${side}`).lines as [Vec3[], Vec3[]]
      const limb = limbOfFrame(tibia.frame, tibia.side)
      const [a, b] = [intoLimb(limb, trace[0]!), intoLimb(limb, trace[1]!)]
      expectNear(a[2], b[2], exactly)
      const angles = anglesOfKnee(femur, tibia, defaultReferences, true)
      const slopeDeg = angles[side === 'medial' ? 'slopeMedialDeg' : 'slopeLateralDeg']!
      expectNear(toDeg(Math.atan((b[1] - a[1]) / (b[0] - a[0]))), slopeDeg, exactly)
      expect(border[0]).toEqual(border.at(-1))
      const { tree } = boneOf(realMesh('bp3d/tibia_right.stl'))
      for (const p of border) expect(distance(closestPoint(tree, p)!.point, p)).toBeLessThan(0.3)
      const spanned = border
        .slice(1)
        .map((p, k) => cross(sub(border[k]!, border[0]!), sub(p, border[0]!)))
        .reduce(add)
      expectNear(length(spanned) / 2, tibia[side].areaMm2, {
        rel: 0.2,
        because: 'soft limits cut where they are one half; an uneven surface has more area than its border spans',
      })
    },
  )

  it('nothing is drawn of a bone that is not there or of a fit that was not made', () => {
    expect(drawnShapes(null, null)).toEqual([])
    const bare = drawnShapes({ ...found, head: null, condylarCylinder: null }, null).map(({ id }) => id)
    expect(bare).toEqual(['posterior-condyles', 'epicondyles'])
  })
})
