import { describe, expect, it } from 'vitest'
import { femurShape } from '../../demo-models/femur-shape.ts'
import { meshSdf } from '../../demo-models/mesher.ts'
import { cellEdges, cellLoops } from '../../demo-models/mesher-cells.ts'
import { type LegParameters, ordinaryLeg, randomLegParameters } from '../../demo-models/parameters.ts'
import { gradient, type Sdf, sphere } from '../../demo-models/sdf.ts'
import { tibiaShape } from '../../demo-models/tibia-shape.ts'
import { lipschitz } from '../../demo-models/truth-search.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import { volume } from '../../src/geometry/measure.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { expectNear } from '../near.ts'

const shapesOf = (p: LegParameters) => [
  femurShape(p, { condyleTiltDeg: 90 - p.ldfaDeg }),
  tibiaShape(p, { varusDeg: 90 - p.mptaDeg, slopeMedialDeg: p.slopeMedialDeg, slopeLateralDeg: p.slopeLateralDeg }),
]

describe('the table of cell patterns', () => {
  it('puts every crossed edge of every pattern into exactly one closed loop of three edges or more', () => {
    cellLoops.forEach(({ loops }, mask) => {
      const crossed = cellEdges.flatMap(([a, b], e) => (((mask >> a) ^ (mask >> b)) & 1 ? [e] : []))
      expect(loops.flat().sort((a, b) => a - b)).toEqual(crossed)
      for (const loop of loops) expect(loop.length).toBeGreaterThanOrEqual(3)
    })
  })
})

describe('the mesher', () => {
  const ball = sphere([1.3, -0.7, 2.1], 20)
  const box = { min: [-22, -22, -22], max: [24, 24, 24] } as const

  it('puts every vertex of a ball on the sphere', () => {
    const { positions } = meshSdf(ball, box, { edgeMm: 2, lipschitz: 1 })
    for (let i = 0; i < positions.length; i += 3)
      expectNear(ball(positions[i]!, positions[i + 1]!, positions[i + 2]!), 0, {
        absMm: 1e-5,
        because: 'Newton stops below 1e-6 mm',
      })
  })

  it('loses a quarter of the volume error when the edges halve', () => {
    const error = (edgeMm: number) => (4 / 3) * Math.PI * 8000 - volume(meshSdf(ball, box, { edgeMm, lipschitz: 1 }))
    expectNear(error(2) / error(1), 4, { abs: 0.4, because: 'chords of a sphere: second order in the edge' })
  })

  it('gives a closed outward surface where two sheets pass through one cell', () => {
    const twoBalls: Sdf = (x, y, z) =>
      Math.min(sphere([-10.4, 0, 0], 10)(x, y, z), sphere([10.4, 0.3, 0.2], 10)(x, y, z))
    const health = meshHealth(
      meshSdf(twoBalls, { min: [-22, -12, -12], max: [22, 12, 12] }, { edgeMm: 1.7, lipschitz: 1 }),
    )
    expect(health).toMatchObject({ closed: true, orientation: 'outward', degenerateTriangles: 0 })
  })
})

describe('the bones as signed-distance functions', () => {
  it('stay below the slope that the mesher and the rays rely on, within 5 mm of the surface', () => {
    const random = seededRandom(11)
    const tables = [
      ordinaryLeg,
      { ...ordinaryLeg, medialWearMm: 1.5, osteophyteMm: 3 },
      ...[1, 2, 3].map((seed) => randomLegParameters(seed, { extreme: true })),
    ]
    for (const shape of tables.flatMap(shapesOf)) {
      let steepest = 0
      for (let i = 0; i < 60_000; i++) {
        const at = [0, 1, 2].map((k) => shape.box.min[k]! + random() * (shape.box.max[k]! - shape.box.min[k]!))
        const [x, y, z] = [at[0]!, at[1]!, at[2]!]
        if (Math.abs(shape.sdf(x, y, z)) < 5)
          steepest = Math.max(steepest, Math.hypot(...gradient(shape.sdf, x, y, z, 1e-4)))
      }
      expect(steepest).toBeLessThan(lipschitz)
      expect(steepest).toBeGreaterThan(0.9)
    }
  })
})
