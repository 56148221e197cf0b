import { describe, expect, test } from 'vitest'
import { clip } from '../../src/geometry/clip.ts'
import { corners, volume } from '../../src/geometry/measure.ts'
import { type Plane, signedDistance } from '../../src/geometry/plane.ts'
import { resectionSolids } from '../../src/geometry/solids.ts'
import { onMap, thicknessAtVertices, thicknessMap } from '../../src/geometry/thickness.ts'
import { buildTree, type MeshTree } from '../../src/geometry/tree.ts'
import { addScaled, cross, dot, sub, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { boneLike, box, icosphere } from '../fixtures/shapes.ts'
import { expectNear, expectOk } from '../near.ts'

/** Signed crossings of a line with every triangle, along the direction, from `at`. */
function crossings({ mesh }: MeshTree, at: Vec3, along: Vec3): number[] {
  const found: number[] = []
  for (let t = 0; t < mesh.triangles.length / 3; t++) {
    const [a, b, c] = corners(mesh, t)
    const n = cross(sub(b, a), sub(c, a))
    if (dot(n, along) === 0) continue
    const mm = dot(n, sub(a, at)) / dot(n, along)
    const p = addScaled(at, along, mm)
    const inside = (
      [
        [a, b],
        [b, c],
        [c, a],
      ] as const
    ).every(([q, r]) => dot(cross(sub(r, q), sub(p, q)), n) >= 0)
    if (inside) found.push(mm)
  }
  return found.sort((x, y) => x - y)
}

describe('thickness of a removed piece', () => {
  test('of a box is the same everywhere', () => {
    const piece = buildTree(box([0, 0, 0], [30, 20, 7]))
    const map = thicknessMap(piece, { point: [0, 0, 0], normal: [0, 0, -1] }, 1)
    expect(map.samples).toBe(600)
    const because = 'whole numbers kept in single precision'
    for (const mm of [map.minMm, map.meanMm, map.maxMm]) expectNear(mm, 7, { absMm: 1e-6, because })
  })

  test('of a sphere’s cap peaks at its height and sums to its volume', () => {
    const { removed } = expectOk(clip(icosphere(25, 5), { point: [0, 0, -15], normal: [0, 0, 1] }))
    const map = thicknessMap(buildTree(removed), { point: [0, 0, -15], normal: [0, 0, 1] }, 0.25)
    expectNear(map.maxMm, 10, { absMm: 0.02, because: 'faces of the icosphere lie up to 0.02 mm inside' })
    expectNear(map.meanMm * map.samples * 0.25 ** 2, volume(removed), { rel: 2e-3, because: 'a grid of a quarter mm' })
    const [i, j] = onMap(map, [0, 0, -15])
    expectNear(map.thicknessMm[Math.round(j) * map.columns + Math.round(i)]!, map.maxMm, {
      absMm: 0.02,
      because: 'the top',
    })
  })

  test('of a bone’s piece equals what trying every triangle gives', () => {
    const plane: Plane = { point: [0, 14, 0], normal: unit([0.05, 1, 0.03]) }
    const { removed } = expectOk(clip(boneLike(6000, 4), plane))
    const piece = buildTree(removed)
    const map = thicknessMap(piece, plane, 4)
    expect(map.samples).toBeGreaterThan(50)
    for (let j = 0; j < map.rows; j++) {
      for (let i = 0; i < map.columns; i++) {
        const at = addScaled(addScaled(map.origin, map.u, 4 * i), map.v, 4 * j)
        const along: Vec3 = [-plane.normal[0], -plane.normal[1], -plane.normal[2]]
        const [face, out] = crossings(piece, at, along)
        const expected = face !== undefined && Math.abs(face) < 1e-9 ? out! : -1
        expectNear(map.thicknessMm[j * map.columns + i]!, expected, {
          absMm: 1e-5,
          because: 'kept in single precision',
        })
      }
    }
  })

  test('under the vertices is their distance from the cut where nothing lies between', () => {
    const plane: Plane = { point: [0, 14, 0], normal: unit([0.05, 1, 0.03]) }
    const { removed } = expectOk(clip(boneLike(6000, 4), plane))
    const piece = buildTree(removed)
    const mm = thicknessAtVertices(piece, plane)
    let same = 0
    for (let i = 0; i < mm.length; i++) {
      const p: Vec3 = [removed.positions[3 * i]!, removed.positions[3 * i + 1]!, removed.positions[3 * i + 2]!]
      const d = -signedDistance(plane, p)
      expect(mm[i]!).toBeLessThanOrEqual(d + 1e-5)
      if (Math.abs(mm[i]! - d) < 1e-4) same++
    }
    expect(same / mm.length).toBeGreaterThan(0.9)
  })

  test('of a later cut’s piece ends where an earlier cut took the bone', () => {
    const planes: Plane[] = [
      { point: [0, 14, 0], normal: [0, 1, 0] },
      { point: [-12, 14, 0], normal: unit([1, 1, 0]) },
    ]
    const { pieces } = expectOk(resectionSolids(boneLike(6000, 4), planes))
    const map = thicknessMap(buildTree(pieces[1]!.mesh), planes[1]!, 0.5)
    expect(map.samples).toBeGreaterThan(100)
    expectNear((map.meanMm * map.samples) / 4, volume(pieces[1]!.mesh), { rel: 0.02, because: 'a grid of half a mm' })
  })

  test('of nothing is zero, without samples', () => {
    const none = buildTree({ positions: new Float64Array(), triangles: new Uint32Array() })
    const map = thicknessMap(none, { point: [0, 0, 0], normal: [0, 0, 1] }, 1)
    expect([map.samples, map.minMm, map.meanMm, map.maxMm]).toEqual([0, 0, 0, 0])
  })
})
