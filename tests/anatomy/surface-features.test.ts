import { describe, expect, it } from 'vitest'
import { bearingPatch } from '../../src/anatomy/bearing-patch.ts'
import { bridgeCondyles } from '../../src/anatomy/bridge.ts'
import { refineCrest } from '../../src/anatomy/crest.ts'
import { heightAt, heightField } from '../../src/anatomy/height-field.ts'
import { notchSaddle } from '../../src/anatomy/notch-saddle.ts'
import { surfaceMoments } from '../../src/anatomy/profile.ts'
import { saddleNear } from '../../src/anatomy/saddle.ts'
import { type Flat, medialThirdOfFront, posteriorNotch } from '../../src/anatomy/tibial-contours.ts'
import { distance, toDeg, toRad } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'
import { graph } from './graph.ts'

describe('a crest finer than its triangles', () => {
  it('is the top of a dome of 20 mm radius to 0.02 mm on a 1 mm mesh', () => {
    const mesh = graph((x, z) => Math.sqrt(400 - (x - 0.37) ** 2 - (z + 0.21) ** 2), 8, 1)
    const tip = refineCrest(mesh, [0, 20, 0], { up: 1, sense: 1, radiusMm: 4 })
    expectNear(distance(tip, [0.37, 20, -0.21]), 0, { absMm: 0.03, because: 'chords lie 0.006 mm under the dome' })
  })

  it('is the start where there is no top, as on a saddle, whose middle the saddle finder finds', () => {
    const mesh = graph((x, z) => ((x - 0.4) ** 2 - (z - 0.3) ** 2) / 30, 8, 1)
    const saddle = saddleNear(mesh, [1, 0, 1], 4)!
    expectNear(distance(saddle.crestAt(saddle.x), [0.4, 0, 0.3]), 0, {
      absMm: 0.02,
      because: 'a quadratic is found exactly but for chords',
    })
    expect(refineCrest(mesh, [1, 0, 1], { up: 1, sense: 1, radiusMm: 4 })).toEqual([1, 0, 1])
  })

  it('is no saddle where the surface hardly curves across, whose crest would lie anywhere', () => {
    // A femur in 800 triangles had such a notch; its crest was drawn 100 mm beside the bone.
    const askew = (across: number) => graph((x, z) => (x * z) / 30 - across * z * z, 8, 1)
    expect(saddleNear(askew(1e-3), [0.5, 0, 0.5], 4)).toBeNull()
    expect(saddleNear(askew(0.03), [0.5, 0, 0.5], 4)).not.toBeNull()
  })
})

describe('the notch saddle', () => {
  it('lies between two valleys where the groove is most distal', () => {
    // Two condyles below (y down at z = ±20), a roof between them whose crest line is lowest at x = 6.
    const roof = (x: number, z: number) => 0.02 * (x - 6) ** 2 - 14 * (1 - Math.cos((Math.PI * z) / 20)) * 0.5
    const found = notchSaddle(
      graph(roof, 28, 1),
      { medial: -20, split: 0, lateral: 20 },
      { posterior: -20, anterior: 25 },
    )
    expectNear(distance(found!, [6, 0, 0]), 0, { absMm: 0.05, because: 'a 1 mm mesh' })
  })
})

describe('the line that bridges two condyles', () => {
  it('touches both where their common tangent does', () => {
    const lobe = (x: number, z: number) => Math.min((z + 20) ** 2 / 40 + 1, (z - 20) ** 2 / 40 + 3) + (x * x) / 50
    const found = bridgeCondyles(graph(lobe, 36, 1), 'distal', 36, 0)!
    const slope = (found.lateral[1] - found.medial[1]) / (found.lateral[2] - found.medial[2])
    // Both parabolas z²/40 have the slope s at 20 s beside their lowest point, so the tangent's rise is that of the tips.
    expectNear(toDeg(Math.atan(slope)), toDeg(Math.atan(2 / 40)), { absDeg: 0.02, because: 'a 1 mm mesh' })
    expectNear(found.medial[2], -20 + 20 * slope, { absMm: 0.1, because: 'a 1 mm mesh' })
  })
})

describe('a patch told by its lean', () => {
  it('of a tilted plane with a rim is the plane (falling 8° to the back), whatever the grid', () => {
    const tilt = Math.tan(toRad(8))
    const plate = (x: number, z: number) => {
      const r = Math.hypot(x - 1, z + 2)
      return tilt * x + 0.03 * z - (r > 15 ? 1.5 * (r - 15) : 0)
    }
    const mesh = graph(plate, 25, 0.5)
    for (const step of [0.4, 0.5, 0.7]) {
      const field = heightField(mesh, 'above', { x: [-25, 25], z: [-25, 25], y: [-60, 60] }, step, 1)!
      const patch = bearingPatch(field, [-25, 25], 4)!
      expectNear(toDeg(Math.atan(-patch.normal[0] / patch.normal[1])), 8, {
        absDeg: 0.05,
        because: 'the rim bends within one cell',
      })
      expectNear(patch.areaMm2, Math.PI * 225 * Math.hypot(1, tilt, 0.03), {
        rel: 0.05,
        because: 'slopes are those of 1 mm neighbourhoods',
      })
      expectNear(Math.hypot(patch.point[0] - 1, patch.point[2] + 2), 0, { absMm: 0.1, because: 'centre of the disc' })
    }
  })

  it('is null where nothing faces up', () => {
    const field = heightField(
      { positions: new Float64Array(0), triangles: new Uint32Array(0) },
      'above',
      { x: [0, 9], z: [0, 9], y: [0, 9] },
      1,
      1,
    )!
    expect(bearingPatch(field, [0, 9], 4)).toBeNull()
    expect(heightAt(field, 3, 3, 2)).toBeNull()
  })
})

describe('contours of the tibia', () => {
  const ellipse = (dent: (z: number) => number): Flat[] =>
    Array.from({ length: 400 }, (_, k): Flat => {
      const a = (2 * Math.PI * k) / 400
      const z = 38 * Math.sin(a)
      const x = 25 * Math.cos(a)
      return [x < 0 ? x + dent(z) : x, z]
    })

  it('have their posterior notch where the back is dented', () => {
    const found = posteriorNotch(
      ellipse((z) => 7 * Math.exp(-(((z + 3) / 4) ** 2))),
      ellipse(() => 0),
    )!
    expectNear(found[1], -3, { absMm: 0.5, because: 'the window draws the mean a little to the middle' })
  })

  it('have it straight behind the centroid when the back is plain', () => {
    const found = posteriorNotch(
      ellipse(() => 0),
      ellipse(() => 0),
    )!
    expectNear(found[1], 0, { absMm: 1e-9, because: 'symmetry' })
    expectNear(found[0], -25, { absMm: 1e-2, because: 'the ellipse' })
  })

  it('have the medial third of the front one third from the medial end', () => {
    const found = medialThirdOfFront(
      ellipse(() => 0),
      [25, 0],
    )!
    const half = 38 * Math.sqrt(1 - (20 / 25) ** 2)
    expectNear(found[1], -half / 3, { absMm: 0.01, because: 'chords of the ellipse' })
  })
})

describe('moments of a surface', () => {
  it('do not change when a flat box side is cut into more triangles', () => {
    const plain = graph(() => 0, 10, 20)
    const fine = graph(() => 0, 10, 1)
    const a = surfaceMoments(plain)
    const b = surfaceMoments(fine)
    expectNear(a.areaMm2, 400, { rel: 1e-12, because: 'exact integrals' })
    expectNear(b.areaMm2, 400, { rel: 1e-12, because: 'exact integrals' })
    for (let k = 0; k < 3; k++) expectNear(a.spreads[k]!, b.spreads[k]!, { absMm: 1e-9, because: 'exact integrals' })
  })
})

it('a height field of a region that no bone has is refused, not allocated', () => {
  const far = { x: [-1e30, 1e30], z: [-1e30, 1e30], y: [-1e30, 1e30] } as const
  expect(
    heightField({ positions: new Float64Array(9), triangles: Uint32Array.of(0, 1, 2) }, 'above', far, 0.5, 1),
  ).toBe(null)
})
