import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { interfacePressure } from '../../src/loading/interface-pressure.ts'
import { type Loop, polygonMoments } from '../../src/loading/polygon-moments.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'

/** B along x, L along y, centred. */
const rectangle = (b: number, l: number): Loop => [
  [-b / 2, -l / 2],
  [b / 2, -l / 2],
  [b / 2, l / 2],
  [-b / 2, l / 2],
]
const circle = (r: number, n = 2880): Loop =>
  Array.from(
    { length: n },
    (_, k) => [r * Math.cos((2 * Math.PI * k) / n), r * Math.sin((2 * Math.PI * k) / n)] as const,
  )

describe('pressure under the tray, no tension, against check values §8', () => {
  it('equals the eccentric strip: N 1500, B 26, L 48', () => {
    const rows = [
      [0, 1.201923, 1.201923],
      [3, 2.034024, 0.369822],
      [26 / 6, 2.403846, 0],
      [6, 2.97619, 0],
      [9, 5.208333, 0],
    ] as const
    for (const [e, most, least] of rows) {
      const p = expectOk(interfacePressure([rectangle(26, 48)], 1500, [e, 0]))
      expectNear(p.peakMpa, most, { abs: 1e-6, because: 'printed to six decimals' })
      expectNear(Math.max(0, p.a - 13 * p.b), least, { abs: 1e-6, because: 'printed to six decimals' })
    }
    const e6 = expectOk(interfacePressure([rectangle(26, 48)], 1500, [6, 0]))
    expectNear(e6.contactMm2, 21 * 48, { rel: 1e-7, because: 'contact width 3(B/2 − e) = 21 mm' })
    expectNear(e6.liftOffShare, 5 / 26, { rel: 1e-7, because: 'the other 5 mm lift off' })
  })

  it('equals the corner triangle: N 1500 at (5, 9) from a corner gives 12.5 MPa on legs 20 × 36', () => {
    const p = expectOk(interfacePressure([rectangle(40, 60)], 1500, [-15, -21]))
    expectNear(p.peakMpa, 12.5, { rel: 1e-6, because: 'p_max = 3N/(8·x0·y0), both legs fit' })
    expectNear(p.contactMm2, 360, { rel: 1e-6, because: '20 × 36 / 2' })
  })

  it('equals the handbook footing 7 × 7 m, N 2687.5 kN, M 4200 kN·m (web page: 132.2 kPa, rounded)', () => {
    const p = expectOk(interfacePressure([rectangle(7, 7)], 2687.5, [4200 / 2687.5, 0]))
    expectNear(p.peakMpa, 132.2, { abs: 0.2, because: 'the page rounds by ±0.1 kPa' })
    expectNear(p.peakMpa, 132.124, { abs: 1e-3, because: 'computed value of check values §8' })
  })

  it('equals the circle without tension: p_max·A/N against e/R', () => {
    const rows = [
      [0.25, 2],
      [0.3, 2.211],
      [0.35, 2.455],
      [0.4, 2.749],
      [0.45, 3.109],
      [0.5, 3.56],
      [0.6, 4.899],
      [0.7, 7.428],
    ] as const
    for (const [share, expected] of rows) {
      const p = expectOk(interfacePressure([circle(24)], 1000, [24 * share, 0]))
      expectNear((p.peakMpa * Math.PI * 24 * 24) / 1000, expected, { abs: 6e-4, because: 'printed to three decimals' })
    }
    const p = expectOk(interfacePressure([circle(1)], 1, [0.4, 0]))
    expectNear(-p.a / p.b, -0.5124, { abs: 1e-4, because: 'neutral axis at e/R 0.4' })
  })

  it('presses everywhere within the kern of circle and ellipse and lifts off beyond it', () => {
    const ellipse = circle(1).map(([x, y]) => [30 * x, 20 * y] as const)
    expect(expectOk(interfacePressure([ellipse], 100, [7.49, 0])).liftOffShare).toBe(0)
    expect(expectOk(interfacePressure([ellipse], 100, [7.6, 0])).liftOffShare).toBeGreaterThan(0)
    expect(expectOk(interfacePressure([ellipse], 100, [0, 4.99])).liftOffShare).toBe(0)
  })

  it('knows the moments of the D-shape, semicircle R 24', () => {
    const n = 20000
    const d: Loop = Array.from(
      { length: n + 1 },
      (_, k) => [24 * Math.cos((Math.PI * k) / n), 24 * Math.sin((Math.PI * k) / n)] as const,
    )
    const m = polygonMoments([d])
    const because = { rel: 1e-7, because: 'chords instead of arcs' }
    expectNear(m.area, 904.7787, because)
    expectNear(m.y / m.area, 10.185916, because)
    expectNear(m.yy - (m.y * m.y) / m.area, 36414.725, because)
    expectNear(m.xx, 130288.13, because)
  })
})

describe('pressure under any outline', () => {
  /** A notched tray: not convex. */
  const notched: Loop = [
    [-35, -20],
    [-10, -24],
    [-8, -14],
    [8, -14],
    [10, -23],
    [34, -18],
    [36, 10],
    [15, 24],
    [-16, 23],
    [-34, 12],
  ]
  const within = fc.record({
    x: fc.double({ min: -24, max: 24, noNaN: true }),
    y: fc.double({ min: -8, max: 12, noNaN: true }),
    n: fc.double({ min: 1, max: 5000, noNaN: true }),
  })

  it('balances force and both moments to 1e-6 and never pulls', () => {
    fc.assert(
      fc.property(within, ({ x, y, n }) => {
        const p = expectOk(interfacePressure([notched], n, [x, y]))
        expect(p.forceErrorN).toBeLessThan(1e-6 * n)
        expect(p.momentErrorNmm).toBeLessThan(1e-6 * n * 40)
        // Again by summing small squares, knowing nothing of the solver.
        let [force, mx, my] = [0, 0, 0]
        const h = 0.25
        for (let i = -40; i < 40; i += h)
          for (let j = -30; j < 30; j += h) {
            const [u, v] = [i + h / 2, j + h / 2]
            if (!inside(notched, u, v)) continue
            const q = Math.max(0, p.a + p.b * u + p.c * v) * h * h
            force += q
            mx += q * u
            my += q * v
          }
        expectNear(force, n, { rel: 0.01, because: 'squares of 0.25 mm' })
        expectNear(mx / force, x, { absMm: 0.3, because: 'squares of 0.25 mm' })
        expectNear(my / force, y, { absMm: 0.3, because: 'squares of 0.25 mm' })
      }),
      { numRuns: 25 },
    )
  })

  it('gives the mirrored pressure for the mirrored base and load', () => {
    fc.assert(
      fc.property(within, ({ x, y, n }) => {
        const mirrored = notched.map(([u, v]) => [-u, v] as const).reverse()
        const p = expectOk(interfacePressure([notched], n, [x, y]))
        const q = expectOk(interfacePressure([mirrored], n, [-x, y]))
        expectNear(q.peakMpa, p.peakMpa, { rel: 1e-7, because: 'Newton ends at 1e-9 of the load' })
        expectNear(q.liftOffShare, p.liftOffShare, { abs: 1e-7, because: 'same' })
      }),
      { numRuns: 50 },
    )
  })

  it('is a failure where the load lies outside the base, and where there is no base or no load', () => {
    expectFailure(interfacePressure([rectangle(26, 48)], 1500, [13.5, 0]), 'contact/no-solution')
    expectFailure(interfacePressure([rectangle(26, 48)], 0, [0, 0]), 'contact/no-solution')
    expectFailure(interfacePressure([], 100, [0, 0]), 'contact/no-solution')
  })

  it('subtracts a hole', () => {
    const hole = rectangle(6, 6).slice().reverse()
    const p = expectOk(interfacePressure([rectangle(20, 20), hole], 364, [0, 0]))
    expectNear(p.peakMpa, 1, { rel: 1e-9, because: '400 − 36 mm² carry 364 N' })
  })
})

function inside(loop: Loop, x: number, y: number): boolean {
  let odd = false
  for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
    const [ax, ay] = loop[i]!
    const [bx, by] = loop[j]!
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) odd = !odd
  }
  return odd
}
