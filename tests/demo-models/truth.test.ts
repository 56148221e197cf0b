import { describe, expect, it } from 'vitest'
import { makeLeg, ordinaryLeg, randomLegParameters } from '../../demo-models/leg.ts'
import { jointPose } from '../../demo-models/truth-angles.ts'
import { fitSphere } from '../../src/geometry/fit.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { type Frame, intoFrame, mapPoint, mapVector } from '../../src/geometry/rigid.ts'
import { addScaled, dot, sub, toDeg, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear, expectOk } from '../near.ts'
import { notchByTriangles, patchByTriangles } from './by-triangles.ts'

const vertices = ({ positions: p }: Mesh): Vec3[] =>
  Array.from({ length: p.length / 3 }, (_, v) => [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!])
const own = (frame: Frame, mesh: Mesh): Vec3[] => {
  const into = intoFrame(frame)
  return vertices(mesh).map((p) => mapPoint(into, p))
}
const most = (points: readonly Vec3[], score: (p: Vec3) => number): number =>
  points.reduce((best, p) => Math.max(best, score(p)), Number.NEGATIVE_INFINITY)

describe('extrema of the mesh come to the truth of the shape as the edges get shorter', () => {
  const coarse = makeLeg(ordinaryLeg, { edgeMm: 3 })
  const fine = makeLeg(ordinaryLeg, { edgeMm: 1 })
  const { femur, tibia } = fine.truth
  const length = Math.hypot(...sub(femur.landmarks.hipCentre, femur.frame.origin))
  const distal = (points: readonly Vec3[]) => points.filter((p) => p[1] < 0.12 * length)
  const tibiaLength = Math.hypot(...sub(tibia.landmarks.ankleCentre, tibia.frame.origin))

  /** How far each extremum of a mesh stays short of the truth, mm. */
  function shortfalls(mesh: { readonly femur: Mesh; readonly tibia: Mesh }): Record<string, number> {
    const f = distal(own(femur.frame, mesh.femur))
    const t = own(tibia.frame, mesh.tibia)
    const inFemur = (p: Vec3) => mapPoint(intoFrame(femur.frame), p)
    const inTibia = (p: Vec3) => mapPoint(intoFrame(tibia.frame), p)
    const l = femur.landmarks
    const line = sub(inFemur(l.condyleDistalLateral), inFemur(l.condyleDistalMedial))
    const k = Math.hypot(line[1], line[2])
    const down: Vec3 = [0, -line[2] / k, line[1] / k]
    const levels = (p: Vec3) => p[1] < -0.06 * tibiaLength && p[1] > -0.16 * tibiaLength
    return {
      distalMedial:
        dot(inFemur(l.condyleDistalMedial), down) -
        most(
          f.filter((p) => p[2] < 0),
          (p) => dot(p, down),
        ),
      distalLateral:
        dot(inFemur(l.condyleDistalLateral), down) -
        most(
          f.filter((p) => p[2] > 0),
          (p) => dot(p, down),
        ),
      posteriorMedial:
        -inFemur(l.condylePosteriorMedial)[0] -
        most(
          f.filter((p) => p[2] < 0),
          (p) => -p[0],
        ),
      posteriorLateral:
        -inFemur(l.condylePosteriorLateral)[0] -
        most(
          f.filter((p) => p[2] > 0),
          (p) => -p[0],
        ),
      epicondyleMedial:
        -inFemur(l.epicondyleMedial)[2] -
        most(
          f.filter((p) => p[1] > 0),
          (p) => -p[2],
        ),
      epicondyleLateral:
        inFemur(l.epicondyleLateral)[2] -
        most(
          f.filter((p) => p[1] > 0),
          (p) => p[2],
        ),
      malleolus: -inTibia(tibia.landmarks.malleolusMedial)[1] - most(t, (p) => -p[1]),
      tubercle: inTibia(tibia.landmarks.tubercle)[0] - most(t.filter(levels), (p) => p[0]),
      spineMedial:
        inTibia(tibia.landmarks.spineMedial)[1] -
        most(
          t.filter((p) => p[2] < 0),
          (p) => p[1],
        ),
      spineLateral:
        inTibia(tibia.landmarks.spineLateral)[1] -
        most(
          t.filter((p) => p[2] > 0 && p[2] < 12),
          (p) => p[1],
        ),
    }
  }

  it('no vertex passes an extremum of the shape; the finer mesh comes within 0.03 mm, on the sharp spines 0.15 mm', () => {
    for (const [name, short] of Object.entries(shortfalls(fine))) {
      expect(short, name).toBeGreaterThan(-1e-5)
      expect(short, name).toBeLessThan(name.startsWith('spine') ? 0.15 : 0.03)
    }
  })

  it('a coarser mesh stays farther away, all extrema together', () => {
    const sum = (leg: Parameters<typeof shortfalls>[0]) => Object.values(shortfalls(leg)).reduce((a, b) => a + b, 0)
    expect(sum(coarse)).toBeGreaterThan(3 * sum(fine))
  })

  it('the head’s vertices lie on a sphere about the hip centre', () => {
    const { centre, radiusMm } = femur.head
    const articular = vertices(fine.femur).filter((p) => {
      const d = sub(p, centre)
      // Upper outer part of the head: away from the neck below and from the fovea on the medial side.
      return Math.abs(Math.hypot(...d) - radiusMm) < 2 && d[2] > 0.45 * radiusMm && d[0] < 0.2 * radiusMm
    })
    expect(articular.length).toBeGreaterThan(300)
    const fit = expectOk(fitSphere(articular))
    expectNear(fit.radiusMm, radiusMm, { absMm: 1e-3, because: 'vertices are projected on the shape' })
    expectNear(Math.hypot(...sub(fit.centre, centre)), 0, { absMm: 1e-3, because: 'the same' })
  })

  it('the notch lies on the roof: vertices near it are lower along the groove’s walls and level with it, or higher, along its floor', () => {
    const near = own(femur.frame, fine.femur).filter((p) => Math.hypot(p[0], p[2]) < 4 && Math.abs(p[1]) < 4)
    const along = near.filter((p) => Math.abs(p[2]) < 0.7 && Math.abs(p[0]) > 1.5)
    const across = near.filter((p) => Math.abs(p[0]) < 0.7 && Math.abs(p[2]) > 1.5)
    expect(along.length).toBeGreaterThan(3)
    expect(across.length).toBeGreaterThan(3)
    // The middle of the roof is not its lowest place: that lies some millimetres away, a quarter of a millimetre lower at most.
    expect(Math.min(...along.map((p) => p[1]))).toBeGreaterThan(-0.25)
    expect(Math.max(...across.map((p) => p[1]))).toBeLessThan(0)
  })

  it('the plateau normals agree with the vertices about the plateau points', () => {
    for (const side of ['medial', 'lateral'] as const) {
      const { point, normal, rmsMm } = tibia[side]
      const about = vertices(fine.tibia).filter((p) => Math.hypot(...sub(p, point)) < 6)
      expect(about.length).toBeGreaterThan(60)
      for (const p of about) expect(Math.abs(dot(sub(p, point), normal))).toBeLessThan(4 * rmsMm)
    }
  })
})

describe('the definitions carried out on the triangles of a fine mesh give the truth again', () => {
  const leg = makeLeg(randomLegParameters(4), { edgeMm: 0.8 })
  const { tibia } = leg.truth
  const into = intoFrame(tibia.frame)

  it.each(['medial', 'lateral'] as const)('%s plateau: slope, coronal tilt and centroid', (side) => {
    const found = patchByTriangles(leg.tibia, leg.truth, side)
    const normal = mapVector(into, tibia[side].normal)
    const point = mapPoint(into, tibia[side].point)
    const near = { absDeg: 0.05, because: 'whole triangles at the patch’s edge, 0.8 mm' }
    expectNear(toDeg(Math.atan2(found.normal[0], found.normal[1])), toDeg(Math.atan2(normal[0], normal[1])), near)
    expectNear(toDeg(Math.atan2(found.normal[2], found.normal[1])), toDeg(Math.atan2(normal[2], normal[1])), near)
    expectNear(found.centroid[0], point[0], { absMm: 0.1, because: 'the same' })
    expectNear(found.centroid[2], point[2], { absMm: 0.1, because: 'the same' })
  })

  it('posterior notch', () => {
    const notch = mapPoint(into, tibia.landmarks.posteriorNotch)
    const found = notchByTriangles(leg.tibia, leg.truth)
    for (const k of [0, 1, 2] as const) expectNear(found[k], notch[k], { absMm: 0.05, because: 'chords of 0.8 mm' })
  })
})

describe('the truth’s own joint coordinate system', () => {
  it('reproduces the worked example of the check values (flexion 30, varus 5, external rotation 10)', () => {
    // Computed there by two independent routes; columns of the matrix are the tibia's axes in the femur.
    const r = [
      0.845301314, 0.498097349, -0.193299559, -0.505510683, 0.862729916, 0.012491699, 0.172987394, 0.087155743,
      0.981060262,
    ]
    const femur: Frame = { origin: [0, 0, 0], x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] }
    const column = (c: number): Vec3 => [r[c]!, r[3 + c]!, r[6 + c]!]
    const pose = jointPose(femur, { origin: [0, 0, 0], x: column(0), y: column(1), z: column(2) })
    const near = { absDeg: 1e-6, because: 'nine printed decimals' }
    expectNear(pose.flexionDeg, 30, near)
    expectNear(pose.varusDeg, 5, near)
    expectNear(pose.externalRotationDeg, 10, near)
  })
})

describe('torsion', () => {
  it('of the neck against the posterior condylar line grows with the asked anteversion', () => {
    const neckDeg = (anteversionDeg: number) => {
      const { femur } = makeLeg({ anteversionDeg }, { edgeMm: 4 }).truth
      const { point, direction } = femur.shaft
      // Where the shaft axis passes the level of the neck's root, 31 mm below the head's centre.
      const into = intoFrame(femur.frame)
      const [from, along, head] = [mapPoint(into, point), mapVector(into, direction), mapPoint(into, femur.head.centre)]
      const root = addScaled(from, along, (head[1] - 31 - from[1]) / along[1])
      const neck = sub(head, root)
      return toDeg(Math.atan2(neck[0], -neck[2]))
    }
    expectNear(neckDeg(30) - neckDeg(10), 20, {
      absDeg: 6,
      because: 'the fitted shaft axis only nearly meets the neck axis',
    })
  })
})
