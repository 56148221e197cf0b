import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { makeBone } from '../../src/geometry/bone.ts'
import { area, boundingBox, centroid, corners, volume } from '../../src/geometry/measure.ts'
import { type Plane, signedDistance } from '../../src/geometry/plane.ts'
import { allHits, closestPoint, firstHit, support } from '../../src/geometry/query.ts'
import { section } from '../../src/geometry/section.ts'
import { mapMesh } from '../../src/geometry/transform.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { closestOnTriangle } from '../../src/geometry/triangle.ts'
import { addScaled, cross, distance, dot, length, sub, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { boneLike, box, icosphere, joined, randomDirection, randomRigid, shuffled, torus } from '../fixtures/shapes.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'

const bone = shuffled(boneLike(4000, 5), 1)
const tree = buildTree(bone)
const triangleTotal = bone.triangles.length / 3
const somewhere = fc.tuple(
  fc.double({ min: -60, max: 60, noNaN: true }),
  fc.double({ min: -30, max: 430, noNaN: true }),
  fc.double({ min: -60, max: 60, noNaN: true }),
)
const direction = fc.integer().map(randomDirection)

describe('the tree', () => {
  test('keeps every triangle once, with its winding, and the caller’s vertices', () => {
    const name = (triangles: Uint32Array, t: number): string => {
      const [a, b, c] = [triangles[3 * t]!, triangles[3 * t + 1]!, triangles[3 * t + 2]!]
      return a < b && a < c ? `${a},${b},${c}` : b < c ? `${b},${c},${a}` : `${c},${a},${b}`
    }
    const names = (triangles: Uint32Array) => Array.from({ length: triangleTotal }, (_, t) => name(triangles, t)).sort()
    expect(names(tree.mesh.triangles)).toEqual(names(bone.triangles))
    expect(tree.mesh.positions).toBe(bone.positions)
  })

  test('has boxes that hold their triangles and counts that add up', () => {
    for (let node = 0; node < tree.nodeCount; node++) {
      const left = node + 1
      if (tree.skip[node] !== left) {
        const right = tree.skip[left]!
        expect(tree.count[left]! + tree.count[right]!).toBe(tree.count[node])
      }
      let outside = 0
      for (let t = tree.start[node]!; t < tree.start[node]! + tree.count[node]!; t++) {
        for (const p of corners(tree.mesh, t)) {
          for (let axis = 0; axis < 3; axis++) {
            const off = Math.abs(p[axis]! - tree.boxes[8 * node + axis]!) - tree.boxes[8 * node + 3 + axis]!
            outside = Math.max(outside, off)
          }
        }
      }
      expect(outside).toBeLessThanOrEqual(1e-12)
    }
  })
})

describe('rays', () => {
  /** Every triangle tried, by solving for the crossing of ray and plane. */
  const bruteForce = (origin: Vec3, along: Vec3): number[] => {
    const found: number[] = []
    for (let t = 0; t < triangleTotal; t++) {
      const [a, b, c] = corners(tree.mesh, t)
      const n = cross(sub(b, a), sub(c, a))
      const slope = dot(n, along)
      if (slope === 0) continue
      const mm = dot(n, sub(a, origin)) / slope
      if (mm < 0) continue
      const p = addScaled(origin, along, mm)
      const inside = [
        [a, b],
        [b, c],
        [c, a],
      ].every(([p0, p1]) => dot(cross(sub(p1!, p0!), sub(p, p0!)), n) >= 0)
      if (inside) found.push(mm)
    }
    return found.sort((x, y) => x - y)
  }

  test('find what trying every triangle finds', () => {
    fc.assert(
      fc.property(somewhere, direction, (origin, along) => {
        // A ray that starts on the surface has no right answer to rounding.
        fc.pre(closestPoint(tree, origin)!.distanceMm > 1e-6)
        const expected = bruteForce(origin, along)
        const hits = allHits(tree, origin, along)
        expect(hits.length).toBe(expected.length)
        hits.forEach((hit, k) => {
          expectNear(hit.distanceMm, expected[k]!, { absMm: 1e-8, because: 'grazing rays magnify rounding' })
        })
        const first = firstHit(tree, origin, along)
        expect(first?.distanceMm ?? -1).toBeCloseTo(expected[0] ?? -1, 8)
      }),
    )
  })

  test('go in and out in turn, and as often out as in from outside', () => {
    fc.assert(
      fc.property(direction, fc.double({ min: 20, max: 380, noNaN: true }), (along, y) => {
        const hits = allHits(tree, addScaled([3, y, 0], along, -1000), along)
        expect(hits.length % 2).toBe(0)
        hits.forEach((hit, k) => {
          expect(hit.entering).toBe(k % 2 === 0)
        })
      }),
    )
  })

  test('through vertices and edges cross the surface once', () => {
    const cube = buildTree(box([0, 0, 0], [2, 2, 2]))
    expect(allHits(cube, [1, 1, -5], [0, 0, 1]).map((h) => h.distanceMm)).toEqual([5, 7])
    const ball = buildTree(icosphere(10, 3))
    for (let i = 0; i < 60; i++) {
      const p = ball.mesh.positions
      const v: Vec3 = [p[3 * i]!, p[3 * i + 1]!, p[3 * i + 2]!]
      expect(allHits(ball, [0, 0, 0], unit(v)).length).toBe(1)
    }
  })

  test('from behind or past the bone hit nothing', () => {
    expect(firstHit(tree, [0, 500, 0], [0, 1, 0])).toBeNull()
    expect(allHits(tree, [100, 0, 0], [0, 1, 0])).toEqual([])
    expect(
      firstHit(buildTree({ positions: new Float64Array(), triangles: new Uint32Array() }), [0, 0, 0], [1, 0, 0]),
    ).toBeNull()
  })
})

describe('nearest and farthest points', () => {
  test('the nearest point is the nearest over every triangle', () => {
    fc.assert(
      fc.property(somewhere, (p) => {
        let best = Number.POSITIVE_INFINITY
        for (let t = 0; t < triangleTotal; t++) {
          const d = distance(p, closestOnTriangle(p, ...corners(tree.mesh, t)))
          if (d < best) best = d
        }
        const found = closestPoint(tree, p)!
        expectNear(found.distanceMm, best, { absMm: 1e-12, because: 'the same triangle' })
        expectNear(distance(p, found.point), best, { absMm: 1e-12, because: 'the point is at that distance' })
      }),
    )
  })

  test('the nearest point of a triangle is no farther than any of a fine grid over it', () => {
    fc.assert(
      fc.property(somewhere, somewhere, somewhere, somewhere, (p, a, b, c) => {
        const best = distance(p, closestOnTriangle(p, a, b, c))
        for (let i = 0; i <= 20; i++) {
          for (let j = 0; i + j <= 20; j++) {
            const q = addScaled(addScaled(a, sub(b, a), i / 20), sub(c, a), j / 20)
            expect(best).toBeLessThanOrEqual(distance(p, q) + 1e-9)
          }
        }
      }),
    )
  })

  test('the support point is the farthest vertex among those the planes leave', () => {
    fc.assert(
      fc.property(direction, fc.array(fc.tuple(somewhere, direction), { maxLength: 3 }), (along, pairs) => {
        const within = pairs.map(([point, normal]): Plane => ({ point, normal }))
        let best: number | null = null
        const p = bone.positions
        for (let i = 0; i < p.length; i += 3) {
          const v: Vec3 = [p[i]!, p[i + 1]!, p[i + 2]!]
          if (within.every((q) => signedDistance(q, v) >= 0))
            best = Math.max(best ?? Number.NEGATIVE_INFINITY, dot(along, v))
        }
        const found = support(tree, along, within)
        expect(found === null).toBe(best === null)
        if (found) expectNear(dot(along, found), best!, { absMm: 1e-12, because: 'the same vertex' })
      }),
    )
  })
})

describe('sections', () => {
  test('a ring gives an outer outline counter-clockwise and a hole clockwise', () => {
    const ring = buildTree(torus(30, 8, 64, 32))
    const { loops, areaMm2, centroid: centre, open } = section(ring, { point: [0, 0, 0.1], normal: [0, 0, 1] })
    const signed = loops.map((loop) =>
      loop.reduce((sum, p, k) => {
        const q = loop[(k + 1) % loop.length]!
        return sum + (p[0] * q[1] - q[0] * p[1]) / 2
      }, 0),
    )
    expect(signed.length).toBe(2)
    expect(Math.max(...signed)).toBeGreaterThan(0)
    expect(Math.min(...signed)).toBeLessThan(0)
    expectNear(signed[0]! + signed[1]!, areaMm2, { rel: 1e-12, because: 'the hole counts negative' })
    expectNear(length(sub(centre!, [0, 0, 0.1])), 0, { absMm: 1e-9, because: 'the ring is centred' })
    expect(open).toBe(false)
  })

  test('a plane that misses has no outline, and an open mesh says so', () => {
    const miss = section(tree, { point: [0, 900, 0], normal: [0, 1, 0] })
    expect(miss).toEqual({ loops: [], areaMm2: 0, centroid: null, open: false })
    const open = { positions: bone.positions, triangles: bone.triangles.slice(0, -300) }
    const levels = Array.from({ length: 40 }, (_, k) =>
      section(buildTree(open), { point: [0, 5 + 10 * k, 0], normal: [0, 1, 0] }),
    )
    expect(levels.some((s) => s.open)).toBe(true)
  })

  test('two separate bodies give two outlines', () => {
    const two = buildTree(joined(box([0, 0, 0], [1, 1, 1]), box([5, 0, 0], [7, 1, 1])))
    const { loops, areaMm2 } = section(two, { point: [0, 0, 0.5], normal: [0, 0, 1] })
    expect(loops.length).toBe(2)
    expectNear(areaMm2, 3, { rel: 1e-14, because: 'whole numbers' })
  })
})

describe('whole-bone measures', () => {
  test('do not care for the order of vertices and triangles nor for the frame', () => {
    const plain = boneLike(4000, 5)
    for (const seed of [1, 2, 3]) {
      const other = mapMesh(shuffled(plain, seed), randomRigid(seed, 1000))
      expectNear(volume(other), volume(plain), { rel: 1e-9, because: 'issue 2: rigid motion' })
      expectNear(area(other), area(plain), { rel: 1e-11, because: 'coordinates of 1 m round at 1e-13 mm' })
    }
  })

  test('the centroid stays inside the box of an open mesh, and a point cloud is no bone', () => {
    const made = expectOk(makeBone({ positions: bone.positions, triangles: bone.triangles.slice(0, 3 * 2000) }))
    expect(made.closed).toBe(false)
    expect(made.volumeMm3).toBeNull()
    const { min, max } = boundingBox(made.mesh)
    made.centroid.forEach((v, axis) => {
      expect(v >= min[axis]! && v <= max[axis]!).toBe(true)
    })
    expectFailure(makeBone({ positions: bone.positions, triangles: new Uint32Array() }), 'mesh/no-faces')
    expectFailure(makeBone({ positions: bone.positions, triangles: new Uint32Array([0, 0, 1]) }), 'mesh/no-faces')
    expect(centroid({ positions: bone.positions, triangles: new Uint32Array() })).toBeNull()
  })

  test('a closed bone knows its volume, and the tree sums it too', () => {
    const made = expectOk(makeBone(bone))
    expect(made.closed).toBe(true)
    expectNear(made.volumeMm3!, volume(bone), { rel: 1e-12, because: 'the same triangles in another order' })
  })
})
