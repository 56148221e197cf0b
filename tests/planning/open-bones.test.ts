import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { boundaryLoops } from '../../src/geometry/boundary.ts'
import { boundInside, isOnMissing, makeBoundedBone } from '../../src/geometry/bounded-bone.ts'
import { matchEdges } from '../../src/geometry/edge-match.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import type { Plane } from '../../src/geometry/plane.ts'
import { seriesVolumes, singleCutVolumes } from '../../src/planning/removed.ts'
import { boneLike, randomDirection } from '../fixtures/shapes.ts'
import { expectNear, expectOk } from '../near.ts'

const whole = boneLike(4000, 7)
const closed = expectOk(makeBoundedBone(whole))

/** Without the triangles that have a corner within `radius` of one of them. */
function holed(mesh: Mesh, centre: number, radius: number): Mesh {
  const at = (v: number) => [0, 1, 2].map((k) => mesh.positions[3 * v + k]!) as [number, number, number]
  const middle = at(mesh.triangles[3 * centre]!)
  const isNear = (v: number) => Math.hypot(...at(v).map((c, k) => c - middle[k]!)) < radius
  const kept: number[] = []
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const corners = [...mesh.triangles.slice(t, t + 3)]
    if (!corners.some(isNear)) kept.push(...corners)
  }
  return { positions: mesh.positions, triangles: Uint32Array.from(kept) }
}

/** Every hole closed by a fan about one of its own corners: as good a guess as any other, and inside the border's hull. */
function fanned(mesh: Mesh, seed: number): Mesh {
  const { twin } = matchEdges(mesh.triangles, mesh.positions.length / 3)
  const added = boundaryLoops(mesh, twin).flatMap(({ vertices }) => {
    const ring = vertices.toReversed()
    const from = seed % ring.length
    const turned = [...ring.slice(from), ...ring.slice(0, from)]
    return turned.slice(2).flatMap((v, k) => [turned[0]!, turned[k + 1]!, v])
  })
  return { positions: mesh.positions, triangles: Uint32Array.from([...mesh.triangles, ...added]) }
}

const through = (fraction: number, seed: number): Plane => {
  const { min, max } = closed.box
  return {
    point: [0, 1, 2].map((k) => min[k]! + fraction * (max[k]! - min[k]!)) as [number, number, number],
    normal: randomDirection(seed),
  }
}

describe('volumes of a bone with a hole', () => {
  it('lie within their bound of those of every patch between its border’s own corners, cut by cut', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: whole.triangles.length / 3 - 1 }),
        fc.double({ min: 3, max: 15, noNaN: true }),
        fc.double({ min: 0.2, max: 0.8, noNaN: true }),
        fc.integer({ min: 1, max: 1000 }),
        (centre, radius, fraction, seed) => {
          const mesh = holed(whole, centre, radius)
          const open = expectOk(makeBoundedBone(mesh))
          const filled = expectOk(makeBoundedBone(fanned(mesh, seed)))
          const rounding = 1e-9 * closed.volumeMm3!
          const planes = [through(fraction, seed), through(1 - fraction, seed + 1), through(fraction, seed + 2)]
          const block = [through(0.5, seed + 3)]
          const one = singleCutVolumes(open, planes[0]!, 1.2)!
          const other = singleCutVolumes(filled, planes[0]!, 1.2)!
          for (const part of ['removedMm3', 'kerfMm3', 'pieceMm3'] as const)
            expect(Math.abs(one[part] - other[part])).toBeLessThanOrEqual(one.removedBoundMm3 + rounding)
          expect(other.removedBoundMm3).toBe(0)
          const series = seriesVolumes(open, planes, block, 1.2)!
          seriesVolumes(filled, planes, block, 1.2)!.forEach(({ removedMm3 }, i) => {
            const { removedMm3: own, removedBoundMm3 } = series[i]!
            expect(Math.abs(own - removedMm3)).toBeLessThanOrEqual(removedBoundMm3 + rounding)
          })
          const total = series.reduce((sum, v) => sum + v.removedBoundMm3, 0)
          expect(total).toBeLessThanOrEqual(boundInside(open, block)! + rounding)
        },
      ),
      { numRuns: 60, seed: 3 },
    )
  })

  it('have no bound where the hole is on the kept side, and all of it where the cut takes the hole whole', () => {
    const open = expectOk(makeBoundedBone(holed(whole, 0, 10)))
    const all = boundInside(open, [])!
    expect(all).toBeGreaterThan(0)
    const v = 3 * whole.triangles[0]!
    const hole: [number, number, number] = [whole.positions[v]!, whole.positions[v + 1]!, whole.positions[v + 2]!]
    expect(isOnMissing(open, open.centroid)).toBe(false)
    const from = closed.centroid
    const away = hole.map((c, k) => c - from[k]!) as [number, number, number]
    const length = Math.hypot(...away)
    const normal = away.map((c) => c / length) as [number, number, number]
    expectNear(singleCutVolumes(open, { point: from, normal }, 1.2)!.removedBoundMm3, 0, {
      abs: 1e-9,
      because: 'the normal points towards the hole, which is kept',
    })
    const turned = normal.map((c) => -c) as [number, number, number]
    expectNear(singleCutVolumes(open, { point: from, normal: turned }, 1.2)!.removedBoundMm3, all, {
      rel: 1e-9,
      because: 'the whole hull is taken',
    })
  })

  it('are withheld where the surface is loose triangles or sheets: they would add up to nothing', () => {
    const apart = new Float64Array(3 * whole.triangles.length)
    whole.triangles.forEach((v, i) => {
      for (let k = 0; k < 3; k++) apart[3 * i + k] = whole.positions[3 * v + k]! + 1e-7 * (i % 7)
    })
    expect(
      expectOk(makeBoundedBone({ positions: apart, triangles: whole.triangles.map((_, i) => i) })).volumeMm3,
    ).toBeNull()
    const sheet = whole.triangles.slice(0, 300)
    expect(expectOk(makeBoundedBone({ positions: whole.positions, triangles: sheet })).volumeMm3).toBeNull()
  })

  it('are withheld where the faces give no inside', () => {
    const twisted = whole.triangles.slice(0, 3000)
    ;[twisted[1], twisted[2]] = [twisted[2]!, twisted[1]!]
    const bone = expectOk(makeBoundedBone({ positions: whole.positions, triangles: twisted }))
    expect(bone.volumeMm3).toBeNull()
    expect(boundInside(bone, [])).toBeNull()
    expect(singleCutVolumes(bone, through(0.5, 1), 1.2)).toBeNull()
    expect(seriesVolumes(bone, [through(0.5, 1)], [], 1.2)).toBeNull()
  })
})
