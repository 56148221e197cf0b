import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  type BearingForce,
  type BearingGeometry,
  type BearingOptions,
  solveBearing,
} from '../../src/loading/bearing.ts'
import { contactField } from '../../src/loading/contact-field.ts'
import { pressureLaw } from '../../src/loading/foundation-law.ts'
import { arc, heightOf } from '../../src/loading/profile.ts'
import { solveContact } from '../../src/loading/solve-contact.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'

const outline = (halfMl: number, halfAp: number): readonly (readonly [number, number])[] => [
  [-halfMl, -halfAp],
  [halfMl, -halfAp],
  [halfMl, halfAp],
  [-halfMl, halfAp],
]

const tray: BearingGeometry = {
  femoralCoronal: arc(30),
  femoralSagittal: arc(36),
  insertCoronal: arc(40),
  insertSagittal: arc(60),
  condylesMm: [-23, 23],
  dishesMm: [-23, 23],
  dishForwardMm: 0,
  rim: outline(37, 24),
  foundation: { modulusMpa: 463, poisson: 0.46, thicknessMm: 8, law: 'linear' },
}
const facing = { tiltDeg: 0, rotationDeg: 0, shiftLateralMm: 0, shiftAnteriorMm: 0 }
const squarely: BearingForce = { compressionN: 2000, lateralN: 0, anteriorN: 0, atLateralMm: 0 }
const both: BearingOptions = { cellMm: 0.5, only: null }
const solve = (
  change: Partial<BearingGeometry> = {},
  force: Partial<BearingForce> = {},
  pose: Partial<typeof facing> = {},
  options: Partial<BearingOptions> = {},
) => solveBearing({ ...tray, ...change }, { ...facing, ...pose }, { ...squarely, ...force }, { ...both, ...options })

describe('the bearing', () => {
  it('shares a squarely placed load equally, symmetric to 1e-9, in the middle of each dish', () => {
    const { medial, lateral, centreMm } = expectOk(solve())
    expectNear(medial!.loadN, lateral!.loadN, { rel: 1e-9, because: 'symmetric input' })
    expectNear(medial!.peakMpa, lateral!.peakMpa, { rel: 1e-9, because: 'symmetric input' })
    expectNear(medial!.areaMm2, lateral!.areaMm2, { rel: 1e-9, because: 'symmetric input' })
    expectNear(centreMm[0], 0, { absMm: 1e-9, because: 'symmetric input' })
    expectNear(medial!.centreMm[0], -23, { absMm: 0.05, because: 'middle of the dish, grid of 0.5 mm' })
    expect(medial!.edgeLoaded).toBe(false)
  })

  it('balances force and moment to 1e-6 and never pulls, for any load between the condyles', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 100, max: 5000, noNaN: true }),
        fc.double({ min: -18, max: 18, noNaN: true }),
        (compressionN, atLateralMm) => {
          const solved = expectOk(solve({}, { compressionN, atLateralMm }))
          expect(solved.forceError).toBeLessThan(1e-6)
          expect(solved.momentError).toBeLessThan(1e-6)
          expect(Math.min(...solved.pressureMpa)).toBeGreaterThanOrEqual(0)
          expectNear(solved.medial!.loadN + solved.lateral!.loadN, compressionN, { rel: 1e-6, because: 'equilibrium' })
          // Two-point statics beside the grid: the contact centres move a little.
          expectNear(solved.medial!.loadN / compressionN, 0.5 - atLateralMm / 46, {
            abs: 0.03,
            because: 'patches move in their dishes',
          })
        },
      ),
      { numRuns: 20 },
    )
  })

  it('mirrors: load and tilt on the other side give the other compartment the same contact', () => {
    const a = expectOk(solve({}, { atLateralMm: 7, lateralN: 80 }, { tiltDeg: 1.5 }))
    const b = expectOk(solve({}, { atLateralMm: -7, lateralN: -80 }, { tiltDeg: -1.5 }))
    for (const key of ['loadN', 'peakMpa', 'areaMm2', 'edgeDistanceMm', 'outerTenthShare'] as const)
      expectNear(b.lateral![key], a.medial![key], {
        rel: 1e-6,
        because: 'mirror image; Newton ends at 1e-9 of the load',
      })
  })

  it('lets the condyles slide in a dish until its slope carries the shear: (R dish − R condyle)·sin of the load’s lean', () => {
    for (const shear of [-0.12, -0.05, 0.05, 0.12]) {
      const solved = expectOk(solve({}, { lateralN: 2000 * shear }))
      const lean = Math.atan(shear)
      expect(solved.shearHeld).toBe(true)
      expectNear(solved.slidMm[0], (40 - 30) * Math.sin(lean), {
        absMm: 0.06,
        because: 'vertical gaps instead of normal ones',
      })
      const patch = (solved.medial!.centreMm[0] + solved.lateral!.centreMm[0]) / 2
      expectNear(patch, 40 * Math.sin(lean), {
        absMm: 0.35,
        because: 'point contact of two arcs, patch of finite size',
      })
    }
    const back = expectOk(solve({}, { anteriorN: -200 }))
    expect(back.slidMm[1], 'a load leaning backward slides the condyles back').toBeLessThan(-1)
  })

  it('says that a flat insert cannot hold shear', () => {
    const flat = arc(Number.POSITIVE_INFINITY)
    const solved = expectOk(solve({ insertCoronal: flat, insertSagittal: flat }, { lateralN: 100 }))
    expect(solved.shearHeld).toBe(false)
  })

  it('is edge loaded once the patch comes near the rim, and says how much of it is cut off', () => {
    const flat = arc(Number.POSITIVE_INFINITY)
    const at = (shiftLateralMm: number) =>
      expectOk(solve({ insertCoronal: flat, insertSagittal: flat, rim: outline(30, 24) }, {}, { shiftLateralMm }))
    const distances = [0, 2, 4, 6].map((shift) => at(shift).lateral!)
    for (let i = 1; i < distances.length; i++) {
      expect(distances[i]!.edgeDistanceMm).toBeLessThan(distances[i - 1]!.edgeDistanceMm)
      expect(distances[i]!.outerTenthShare).toBeGreaterThanOrEqual(distances[i - 1]!.outerTenthShare)
    }
    expect(distances[0]!.edgeLoaded).toBe(false)
    expect(distances[3]!.edgeLoaded).toBe(true)
    expect(at(6).lateral!.truncatedShare).toBeGreaterThan(0)
    expect(at(0).lateral!.truncatedShare).toBe(0)
  })

  it('carries all on one condyle when the other has lifted off', () => {
    const solved = expectOk(solve({}, { atLateralMm: -40 }, {}, { only: 'medial' }))
    expect(solved.lateral).toBeNull()
    expectNear(solved.medial!.loadN, 2000, { rel: 1e-6, because: 'equilibrium' })
    expectFailure(solve({}, { atLateralMm: -40 }), 'contact/no-solution')
  })

  it('loads a condyle’s edge when a flat condyle is tilted on a flat insert', () => {
    const flats = {
      femoralCoronal: { ...arc(3, 18) },
      insertCoronal: arc(Number.POSITIVE_INFINITY),
      condylesMm: [0],
      dishesMm: [0],
    }
    const level = expectOk(solve(flats, {}, {}, { only: null }))
    const tilted = expectOk(solve(flats, {}, { tiltDeg: 2 }, { only: null }))
    const peak = (s: typeof level) => Math.max(s.medial?.peakMpa ?? 0, s.lateral?.peakMpa ?? 0)
    expect(peak(tilted)).toBeGreaterThan(2 * peak(level))
  })
})

describe('the grid of a contact', () => {
  it('does not gain a cell when rounding makes a box of whole cells a hair wider', () => {
    const field = (wider: number) =>
      contactField({ gap: () => 0, rim: null, low: [-10 - wider, -5], high: [10 + wider, 5] }, 0.25)
    expect([field(0).columns, field(0).rows]).toEqual([82, 42])
    for (const wider of [1e-13, -1e-13, 1e-10]) expect(field(wider).columns).toBe(field(0).columns)
    expect(field(0.1).columns).toBe(field(0).columns + 1)
  })
})

describe('monotone facts of a condyle in a dish, patch clear of the rim', () => {
  const law = (thicknessMm: number) =>
    expectOk(pressureLaw({ modulusMpa: 463, poisson: 0.46, thicknessMm, law: 'linear' }))
  const peak = (convex: number, concave: number, thicknessMm: number, forceN: number) => {
    const gap = (x: number, y: number) => (x * x + y * y) * (1 / (2 * convex) - 1 / (2 * concave))
    const field = contactField({ gap, rim: null, low: [-16, -16], high: [16, 16] }, 0.25)
    return expectOk(solveContact(field, law(thicknessMm), { forceN, at: [0, 0], freedom: 'press' })).peakMpa
  }
  const some = fc.record({
    convex: fc.double({ min: 20, max: 40, noNaN: true }),
    concave: fc.double({ min: 45, max: 200, noNaN: true }),
    thickness: fc.double({ min: 5, max: 14, noNaN: true }),
    force: fc.double({ min: 200, max: 2500, noNaN: true }),
  })

  it('a thinner insert raises the peak', () => {
    fc.assert(
      fc.property(some, ({ convex, concave, thickness, force }) => {
        expect(peak(convex, concave, thickness - 1, force)).toBeGreaterThan(peak(convex, concave, thickness, force))
      }),
      { numRuns: 20 },
    )
  })

  it('a patch moved towards the rim comes nearer to it', () => {
    const flat = arc(Number.POSITIVE_INFINITY)
    fc.assert(
      fc.property(
        fc.record({
          convex: fc.double({ min: 24, max: 40, noNaN: true }),
          force: fc.double({ min: 400, max: 2500, noNaN: true }),
          from: fc.double({ min: 0, max: 1.5, noNaN: true }),
          step: fc.double({ min: 0.6, max: 2, noNaN: true }),
        }),
        ({ convex, force, from, step }) => {
          const distanceAt = (shiftLateralMm: number) =>
            expectOk(
              solve(
                { femoralCoronal: arc(convex), insertCoronal: flat, insertSagittal: flat },
                { compressionN: force },
                { shiftLateralMm },
              ),
            ).lateral!.edgeDistanceMm
          // The grid has 0.5 mm: its noise in a centre of pressure stays below a tenth of that.
          expectNear(distanceAt(from) - distanceAt(from + step), step, { absMm: 0.1, because: 'the patch moves along' })
        },
      ),
      { numRuns: 20 },
    )
  })

  it('a larger convex radius lowers the peak', () => {
    fc.assert(
      fc.property(some, ({ convex, concave, thickness, force }) => {
        const wider = convex + 2
        fc.pre(wider < 0.95 * concave)
        expect(peak(wider, concave, thickness, force)).toBeLessThan(peak(convex, concave, thickness, force))
      }),
      { numRuns: 20 },
    )
  })
})

describe('a profile', () => {
  it('is an arc with a flat, an edge that goes on along its tangent, or a table', () => {
    const round = heightOf(arc(30))
    expectNear(round(10), 30 - Math.sqrt(800), { absMm: 1e-12, because: 'circle' })
    expect(round(31)).toBe(Number.POSITIVE_INFINITY)
    const flat = heightOf(arc(30, 8))
    expect(flat(4)).toBe(0)
    expectNear(flat(14), 30 - Math.sqrt(800), { absMm: 1e-12, because: 'arc begins 4 mm out' })
    const edged = heightOf({ kind: 'arc', radiusMm: 30, flatMm: 0, edgeAtMm: 10, edgeRadiusMm: 3 })
    const slope = (edged(10.0001) - edged(9.9999)) / 0.0002
    expectNear(slope, Math.tan(Math.asin(1 / 3)), { abs: 1e-3, because: 'tangent of the main arc' })
    expect(edged(12.1)).toBe(Number.POSITIVE_INFINITY)
    const table = heightOf({
      kind: 'table',
      points: [
        [2, 1],
        [-2, 1],
        [0, 0],
      ],
    })
    expect([-3, -2, -1, 0, 1, 2, 3].map(table)).toEqual([Infinity, 1, 0.5, 0, 0.5, 1, Infinity])
  })
})
