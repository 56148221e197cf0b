import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { makeLeg, ordinaryLeg } from '../../demo-models/leg.ts'
import { readMesh } from '../../src/formats/read.ts'
import { volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { intoFrame, mapPoint } from '../../src/geometry/rigid.ts'
import { distance, sub, type Vec3 } from '../../src/geometry/vec.ts'
import { expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const leg = makeLeg(ordinaryLeg, { edgeMm: 2 })
const { femur, tibia } = leg.truth

const spread = (points: readonly Vec3[], k: 0 | 1 | 2): number => {
  const values = points.map((p) => p[k])
  return Math.max(...values) - Math.min(...values)
}
const within = (mesh: Mesh, frame: typeof femur.frame): Vec3[] => {
  const into = intoFrame(frame)
  const p = mesh.positions
  return Array.from({ length: p.length / 3 }, (_, v) => mapPoint(into, [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]))
}

/** Mean ± 3 SD of a published series of men (the ordinary leg is a man's). */
function expectInSeries(value: number, mean: number, sd: number): void {
  expect(value).toBeGreaterThan(mean - 3 * sd)
  expect(value).toBeLessThan(mean + 3 * sd)
}

describe('the ordinary leg has the measures of published series', () => {
  it('epicondylar width (Kapur et al., 100 dry femora: 82.65 ± 3.96)', () => {
    expectInSeries(distance(femur.landmarks.epicondyleMedial, femur.landmarks.epicondyleLateral), 82.65, 3.96)
  })
  it('condylar depth, medial and lateral (Terzidis et al., Anat Res Int 2012: 61.1 ± 3.4, 61.1 ± 3.3)', () => {
    const distal = within(leg.femur, femur.frame).filter((p) => p[1] < 28)
    expectInSeries(
      spread(
        distal.filter((p) => p[2] < -4),
        0,
      ),
      61.1,
      3.4,
    )
    expectInSeries(
      spread(
        distal.filter((p) => p[2] > 4),
        0,
      ),
      61.1,
      3.3,
    )
  })
  it('tibial width and depth (Cheng et al. 76.4 ± 2.8, 51.3 ± 2.0; Uehara et al. 83.0 ± 6.2, 53.8 ± 6.6; both in PMC9703208)', () => {
    const top = within(leg.tibia, tibia.frame).filter((p) => p[1] > -18)
    expectInSeries(spread(top, 2), 79.7, 4.5)
    expectInSeries(spread(top, 0), 52.5, 4.3)
  })
  it('lengths of femur and tibia (Strecker et al., JBJS Br 1997: 463 ± 32, 369 ± 28)', () => {
    expectInSeries(spread(within(leg.femur, femur.frame), 1), 463, 32)
    expectInSeries(spread(within(leg.tibia, tibia.frame), 1), 369, 28)
  })
  it('epicondyle line against posterior condyles (Yang et al., Front Surg 2022, bone: 2.73 ± 1.34)', () => {
    expectInSeries(leg.truth.angles.posteriorCondylarDeg, 2.73, 1.34)
  })
})

describe('the ordinary leg fills the space that real bones fill', () => {
  const real = (file: string): Mesh => expectOk(readMesh(readFileSync(sharedPath('bones', 'bp3d', file)), file)).mesh
  const fullness = (mesh: Mesh, lengthMm: number) => volume(mesh) / lengthMm ** 3
  const reach = ({ positions }: Mesh): number => {
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (let i = 2; i < positions.length; i += 3) {
      low = Math.min(low, positions[i]!)
      high = Math.max(high, positions[i]!)
    }
    return high - low
  }
  it.each(['femur', 'tibia'] as const)('%s: volume over length³ within a quarter of BodyParts3D’s', (bone) => {
    const bp3d = real(`${bone}_right.stl`)
    const ratio = fullness(leg[bone], reach(leg[bone])) / fullness(bp3d, reach(bp3d))
    expect(ratio).toBeGreaterThan(0.75)
    expect(ratio).toBeLessThan(1.25)
  })
})

describe('the neck', () => {
  it('makes about the asked angle with the shaft', () => {
    const neck = sub(femur.head.centre, femur.shaft.point)
    const across = Math.hypot(neck[0], neck[1])
    expect(across).toBeGreaterThan(20)
    expect(across).toBeLessThan(60)
  })
})
