import { expect, test } from 'vitest'
import { fitSphere } from '../../src/geometry/fit.ts'
import { snapOnSurface } from '../../src/geometry/snap-on-surface.ts'
import { patchUnder } from '../../src/geometry/surface-patch.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { distance, type Vec3 } from '../../src/geometry/vec.ts'
import { expectFailure, expectNear } from '../near.ts'

/** A sheet of squares of `step` mm over ±`half` mm whose height is a formula: every feature of it is known exactly. */
function sheet(height: (x: number, y: number) => number, half = 30, step = 1) {
  const n = Math.round((2 * half) / step)
  const positions: number[] = []
  const triangles: number[] = []
  for (let j = 0; j <= n; j++)
    for (let i = 0; i <= n; i++) {
      const [x, y] = [-half + i * step, -half + j * step]
      positions.push(x, y, height(x, y))
      if (i === n || j === n) continue
      const a = j * (n + 1) + i
      triangles.push(a, a + 1, a + n + 2, a, a + n + 2, a + n + 1)
    }
  return buildTree({ positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) })
}

const bump = sheet((x, y) => 5 * Math.exp(-((x - 1.3) ** 2 + (y + 0.7) ** 2) / 18))

test('a click beside a bump is drawn to its tip, between the vertices', () => {
  for (const near of [
    [4, 1, 3],
    [-1, -3, 3],
  ] as const) {
    const tip = snapOnSurface(bump, near, { kind: 'tip', radiusMm: 6 })
    if (!tip.ok) throw new Error(tip.failure.message)
    const off = Math.hypot(tip.value[0] - 1.3, tip.value[1] + 0.7)
    expectNear(off, 0, { absMm: 0.15, because: 'a quadratic stands for a bell over 3 mm of squares of 1 mm' })
  }
})

test('a click on the side of a valley is drawn straight across to its bottom', () => {
  const valley = sheet((x, y) => 0.03 * (x - 2.4) ** 2 + 0.02 * y)
  const found = snapOnSurface(valley, [7, 5, 0.7], { kind: 'groove', radiusMm: 6, direction: [0, 0, 1] })
  if (!found.ok) throw new Error(found.failure.message)
  expectNear(found.value[0], 2.4, { absMm: 0.05, because: 'a parabola over squares of 1 mm; the valley slopes 0.02' })
  expectNear(found.value[1], 5, { absMm: 0.05, because: 'straight across; closest points of flat triangles' })
})

test('a bump has no groove, and a plain slope no tip near enough', () => {
  expectFailure(
    snapOnSurface(bump, [1, -1, 5], { kind: 'groove', radiusMm: 3, direction: [0, 0, 1] }),
    'fit/degenerate',
  )
  const slope = sheet((x) => 0.5 * x)
  const up = { kind: 'extreme', radiusMm: 3, direction: [0, 0, 1] } as const
  expectFailure(snapOnSurface(slope, [0, 0, 0], up), 'fit/degenerate')
})

test('the extreme along a direction is the one the surface climbs to, not a higher one elsewhere', () => {
  const two = sheet((x, y) => 5 * Math.exp(-((x - 15) ** 2 + y * y) / 18) + 4 * Math.exp(-((x + 8) ** 2 + y * y) / 18))
  const found = snapOnSurface(two, [-5, 1, 2], { kind: 'extreme', radiusMm: 4, direction: [0, 0, 1] })
  if (!found.ok) throw new Error(found.failure.message)
  expectNear(distance(found.value, [-8, 0, 4]), 0, { absMm: 0.15, because: 'quadratic for a bell, squares of 1 mm' })
})

test('a brush takes what hangs together under it, not the far wall', () => {
  const walls = ((): ReturnType<typeof sheet> => {
    const one = sheet(() => 0).mesh
    const positions = Float64Array.from([...one.positions, ...one.positions.map((c, k) => (k % 3 === 2 ? c - 2 : c))])
    const second = one.triangles.map((v) => v + one.positions.length / 3)
    return buildTree({ positions, triangles: Uint32Array.from([...one.triangles, ...second]) })
  })()
  const patch = patchUnder(walls, [{ centre: [0.2, 0.1, 0], radiusMm: 5 }])
  expect(new Set(patch.points.map((p) => p[2]))).toEqual(new Set([0]))
  // Every triangle that reaches into the disc: the disc itself and up to one square around it.
  expect(patch.areaMm2).toBeGreaterThan(Math.PI * 25)
  expect(patch.areaMm2).toBeLessThan(Math.PI * 6.5 ** 2)
  expect(patch.weights.reduce((a, b) => a + b)).toBeCloseTo(patch.areaMm2, 9)
  expect(patchUnder(walls, [{ centre: [0, 0, 40], radiusMm: 5 }]).triangles).toHaveLength(0)
})

test('a sphere fitted to a painted cap is the sphere', () => {
  const radius = 24
  const cap = sheet((x, y) => Math.sqrt(radius ** 2 - x * x - y * y), 12)
  const top: Vec3 = [0, 0, radius]
  const patch = patchUnder(cap, [
    { centre: top, radiusMm: 6 },
    { centre: [5, 0, Math.sqrt(radius ** 2 - 25)], radiusMm: 6 },
  ])
  const fit = fitSphere(patch.points, patch.weights)
  if (!fit.ok) throw new Error(fit.failure.message)
  expectNear(fit.value.radiusMm, radius, { absMm: 1e-6, because: 'every vertex lies on the sphere; rounding' })
})
