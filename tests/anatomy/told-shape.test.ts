import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { medialSulcus } from '../../src/anatomy/epicondylar-sulcus.ts'
import { femoralShape } from '../../src/anatomy/femoral-shape.ts'
import type { LimbFrame } from '../../src/anatomy/limb.ts'
import type { FemurAnatomy } from '../../src/anatomy/terms.ts'
import { toldShape } from '../../src/anatomy/told-shape.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { inverse, mapPoint } from '../../src/geometry/rigid.ts'
import { mirrorMesh } from '../../src/geometry/transform.ts'
import { distance, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { boneOf, disguised, femurOf, randomMotion, realMesh } from './bones.ts'

const shaped = (mesh: Mesh): FemurAnatomy => {
  const femur = femurOf(mesh)
  return { ...femur, shape: femoralShape(boneOf(mesh), femur) }
}
const told = (mesh: Mesh) => toldShape(shaped(mesh))

describe('the line of the trochlear groove', () => {
  it.each(['right', 'left'] as const)(
    'runs through the region named groove on the %s femur of the hra pair',
    (side) => {
      const { regions } = JSON.parse(readFileSync(sharedPath('bones', 'hra', `femur_${side}.regions.json`), 'utf8'))
      // Named surface regions of the source (doi:10.48539/HBM445.ZKHR.632, HBM983.RDXQ.667), their own radius as the limit.
      const region = regions[`VH_F_trochlear_groove_${side === 'right' ? 'R' : 'L'}`]
      const groove = told(realMesh(`hra/femur_${side}.ply`)).trochlearGroove!
      const nearest = Math.min(...groove.points.map((p) => distance(p, region.area_centroid_mm)))
      expect(nearest).toBeLessThan(Math.sqrt(region.area_mm2 / Math.PI))
    },
  )

  it.each(['bp3d/femur_right.stl', 'mri/distal_femur_right_2.ply'])(
    '%s: is the same in any position and order, and mirrored leans as far to the same side of its own leg',
    (file) => {
      const mesh = realMesh(file)
      const random = seededRandom(8)
      const motion = randomMotion(random)
      const still = told(mesh).trochlearGroove!
      const moved = told(disguised(mesh, motion, random)).trochlearGroove!
      const mirrored = told(mirrorMesh(mesh)).trochlearGroove!
      expect(moved.points.length).toBe(still.points.length)
      for (const [k, p] of moved.points.entries())
        expectNear(distance(mapPoint(inverse(motion), p), still.points[k]!), 0, {
          absMm: 1e-3,
          because: 'rounding of the frame',
        })
      for (const name of ['proximalLateralDeg', 'lateralMm', 'depthMm'] as const)
        expectNear(mirrored[name], still[name], {
          abs: 0.01,
          because: 'the issue’s own limit for mirrored single bones',
        })
      expect(still.depthMm).toBeGreaterThan(3)
      expect(still.rmsMm).toBeLessThan(1)
    },
  )

  it('names the axis it leans against', () => {
    expect(told(realMesh('bp3d/femur_right.stl')).trochlearGroove!.against).toBe('mechanical axis')
    expect(told(realMesh('mri/distal_femur_right_2.ply')).trochlearGroove!.against).toBe('shaft axis')
  })
})

describe('the sulcus of the medial epicondyle', () => {
  const limb: LimbFrame = { origin: [0, 0, 0], anterior: [1, 0, 0], proximal: [0, 1, 0], lateral: [0, 0, 1] }

  /** A dome that faces medially, its top at z = −40, with a groove along Y of this depth, 3 mm behind its top. */
  function dome(depthMm: number): Mesh {
    const n = 81
    const at = (k: number) => -20 + k * 0.5
    const positions: number[] = []
    for (let j = 0; j < n; j++)
      for (let i = 0; i < n; i++) {
        const [x, y] = [at(i), at(j)]
        const groove = depthMm * Math.exp(-(((x + 3) / 2) ** 2))
        positions.push(x, y, -40 + (x * x + y * y) / 120 + groove)
      }
    const triangles: number[] = []
    for (let j = 0; j + 1 < n; j++)
      for (let i = 0; i + 1 < n; i++) {
        const a = j * n + i
        triangles.push(a, a + n, a + 1, a + 1, a + n, a + n + 1)
      }
    return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
  }

  it('is the bottom between its two shoulders, with its depth under the lower one', () => {
    const top: Vec3 = [0, 0, -40]
    const sulcus = medialSulcus(dome(2), limb, top)!
    expectNear(sulcus.mm[0], -3, {
      absMm: 0.6,
      because: 'the dome falls backwards, which moves the bottom; 0.5 mm grid',
    })
    // Bottom and shoulders of (x² / 120 + 2·exp(−((x + 3) / 2)²)) by the formula itself on a fine grid.
    const height = (x: number) => -(x * x) / 120 - 2 * Math.exp(-(((x + 3) / 2) ** 2))
    const fine = Array.from({ length: 2401 }, (_, k) => -12 + k * 0.01)
    const bottom = Math.min(...fine.filter((x) => Math.abs(x + 3) < 2).map(height))
    const behind = Math.max(...fine.filter((x) => x < -3).map(height))
    expectNear(sulcus.depthMm, behind - bottom, { absMm: 0.02, because: '0.5 mm grid' })
  })

  it('is null where the prominence is one dome, made or real', () => {
    expect(medialSulcus(dome(0), limb, [0, 0, -40])).toBeNull()
    expect(told(realMesh('hra/femur_right.ply')).medialSulcus).toBeUndefined()
    const { medialSulcus: real } = told(realMesh('bp3d/femur_right.stl'))
    expect(real!.depthMm).toBeGreaterThan(0.4)
    expect(real!.fromProminenceMm).toBeLessThan(12)
  })
})

describe('a flat dome', () => {
  it('is said of an epicondyle whose cap is wider than a thumb, and of none that was set by hand', () => {
    const femur = shaped(realMesh('hra/femur_right.ply'))
    expect(toldShape(femur).epicondyles).toEqual({ medialFlatDome: false, lateralFlatDome: false })
    const flat = toldShape({ ...femur, epicondyleCaps: { medialPerMm: 1 / 60, lateralPerMm: 1 / 30 } })
    expect(flat.epicondyles).toEqual({ medialFlatDome: true, lateralFlatDome: false })
    const set = { ...femur.landmarks.epicondyleMedial!, source: 'set' as const }
    const byHand = toldShape({ ...femur, landmarks: { ...femur.landmarks, epicondyleMedial: set } })
    expect(byHand.epicondyles).toEqual({ lateralFlatDome: false })
  })
})
