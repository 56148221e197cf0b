import { describe, expect, it } from 'vitest'
import { contactField, type FacingSurfaces } from '../../../src/loading/contact-field.ts'
import { confinedModulus, pressureLaw } from '../../../src/loading/foundation-law.ts'
import { halfSpaceContact, lineHalfSpaceContact } from '../../../src/loading/half-space-contact.ts'
import { effectiveModulus, effectiveRadius, lineContact, pointContact } from '../../../src/loading/hertz.ts'
import { type Contact, solveContact } from '../../../src/loading/solve-contact.ts'
import { expectNear, expectOk } from '../../near.ts'

/*
 * Check values §7.1: closed forms of a Winkler layer (computed there with an independent method), reached here only
 * through the grid solver. Layer E 463 MPa, ν 0.46, h 8 mm (Fregly et al. 2003, from memory there).
 */
const layer = { modulusMpa: 463, poisson: 0.46, thicknessMm: 8 }
const linear = expectOk(pressureLaw({ ...layer, law: 'linear' }))
const logarithmic = expectOk(pressureLaw({ ...layer, law: 'logarithmic' }))

const square = (half: number) => ({ low: [-half, -half], high: [half, half], rim: null }) as const
const paraboloid = (r1: number, r2: number, half: number): FacingSurfaces => ({
  gap: (x, y) => (x * x) / (2 * r1) + (y * y) / (2 * r2),
  ...square(half),
})
const sphere = (r: number, half: number): FacingSurfaces => ({
  gap: (x, y) => r - Math.sqrt(r * r - x * x - y * y),
  ...square(half),
})
const press = (surfaces: FacingSurfaces, forceN: number, law = linear, cell = 0.125): Contact =>
  expectOk(solveContact(contactField(surfaces, cell), law, { forceN, at: [0, 0], freedom: 'press' }))

const load = { rel: 0.01, because: 'the issue asks for 1 % on load and pressure' }
const patch = { rel: 0.02, because: 'the issue asks for 2 % on the patch' }

describe('the confined modulus', () => {
  it('has the ratios to E of check values §7.1', () => {
    const rows = [
      [0.3, 1.346154],
      [0.4, 2.142857],
      [0.42, 2.552817],
      [0.45, 3.793103],
      [0.46, 4.623288],
      [0.47, 6.00907],
      [0.49, 17.114094],
    ] as const
    for (const [nu, ratio] of rows)
      expectNear(confinedModulus(1, nu), ratio, { abs: 5e-7, because: 'printed to six decimals' })
    expectNear(linear.initialStiffness, 267.5727739726, { rel: 1e-11, because: 'printed to ten decimals' })
  })
})

describe('a sphere on a flat layer, through the grid solver', () => {
  const rows = [
    [30, 1000, 0.199133, 3.456586, 53.282599, 26.641299, 0.199354, 53.341708, 0.198305, 53.729806],
    [50, 1000, 0.154248, 3.92744, 41.272523, 20.636262, 0.154327, 41.293771, 0.153751, 41.54015],
    [200, 1300, 0.087935, 5.93076, 23.528958, 11.764479, 0.087941, 23.530683, 0.087774, 23.615604],
  ] as const
  for (const [r, force, approach, a, peak, mean, capApproach, capPeak, logApproach, logPeak] of rows)
    it(`of R ${r} under ${force} N: parabolic, exact cap and logarithmic law`, () => {
      const parabolic = press(paraboloid(r, r, 9), force)
      expectNear(parabolic.approachMm, approach, load)
      expectNear(parabolic.peakMpa, peak, load)
      expectNear(parabolic.meanMpa, mean, load)
      expectNear(Math.sqrt(parabolic.areaMm2 / Math.PI), a, patch)
      const cap = press(sphere(r, 9), force)
      expectNear(cap.approachMm, capApproach, load)
      expectNear(cap.peakMpa, capPeak, load)
      const log = press(paraboloid(r, r, 9), force, logarithmic)
      expectNear(log.approachMm, logApproach, load)
      expectNear(log.peakMpa, logPeak, load)
    })

  it('of R 30 carries the printed forces when pressed in by 0.2 mm', () => {
    const rows = [
      [paraboloid(30, 30, 6), linear, 1008.725593],
      [sphere(30, 6), linear, 1006.483981],
      [paraboloid(30, 30, 6), logarithmic, 1017.238318],
    ] as const
    for (const [surfaces, law, force] of rows) expectNear(press(surfaces, force, law).approachMm, 0.2, load)
  })
})

describe('other shapes on the layer, through the grid solver', () => {
  it('a cylinder of R 40 and length 20: F 2018.16 at 0.1 mm', () => {
    const surfaces: FacingSurfaces = {
      gap: (x) => (x * x) / 80,
      low: [-6, -10],
      high: [6, 10],
      rim: (_, y) => 10 - Math.abs(y),
    }
    const contact = press(surfaces, 2018.160245)
    expectNear(contact.approachMm, 0.1, load)
    expectNear(contact.peakMpa, 26.757277, load)
    expectNear(contact.areaMm2, 2 * 2.828427 * 20, patch)
  })

  it('an ellipsoid of 30 × 120 under 1500 N', () => {
    const contact = press(paraboloid(30, 120, 9), 1500)
    expectNear(contact.approachMm, 0.172454, load)
    expectNear(contact.peakMpa, 46.144084, load)
    expectNear(contact.areaMm2, 65.0138, patch)
    expectNear(contact.halfWidthsMm[0], 3.216716, { absMm: 0.126, because: 'nodes of 0.125 mm' })
    expectNear(contact.halfWidthsMm[1], 6.433431, { absMm: 0.126, because: 'nodes of 0.125 mm' })
  })

  it('errs at least eight times less on a 0.25 mm grid than on a 1 mm grid, mean of 16 grid offsets', () => {
    const meanError = (cell: number) => {
      let sum = 0
      for (let i = 0; i < 4; i++)
        for (let j = 0; j < 4; j++) {
          const field = contactField(paraboloid(30, 30, 9), cell, [i / 4, j / 4])
          const contact = expectOk(solveContact(field, linear, { forceN: 1000, at: [0, 0], freedom: 'press' }))
          sum +=
            Math.abs(contact.approachMm / 0.1991329 - 1) + Math.abs(contact.areaMm2 / (Math.PI * 3.456586 ** 2) - 1)
        }
      return sum / 16
    }
    const coarse = meanError(1)
    const fine = meanError(0.25)
    expect(fine, `coarse ${coarse}, fine ${fine}`).toBeLessThan(coarse / 8)
  })
})

describe('Hertz beside it, check values §7.2', () => {
  it('equals the course problem: rigid flat, R 8, E 1000, ν 0.3, F 30·2π, published a = 1.010', () => {
    const contact = pointContact(60 * Math.PI, 8, effectiveModulus([{ modulusMpa: 1000, poisson: 0.3 }]))
    expectNear(contact.radiusMm, 1.01, { absMm: 0.001, because: 'published to three decimals' })
    expectNear(contact.radiusMm, 1.009635, { absMm: 1e-6, because: 'computed in the check values' })
  })

  it('equals code_aster SSNV104: two spheres R 50, E 20000, ν 0.3, approach 4 mm: a 10, p0 2798.329', () => {
    const body = { modulusMpa: 20000, poisson: 0.3 }
    const modulus = effectiveModulus([body, body])
    const r = effectiveRadius(50, 50)
    const force = (4 / 3) * modulus * Math.sqrt(r) * 4 ** 1.5
    const contact = pointContact(force, r, modulus)
    expectNear(contact.radiusMm, 10, { rel: 1e-3, because: 'analytic value of the validation manual' })
    expectNear(contact.peakMpa, 2798.329, { rel: 1e-3, because: 'analytic value of the validation manual' })
  })

  it('equals the cylinder-on-block benchmark (Konter 2006): a 6.2146, p0 3585.36', () => {
    const modulus = effectiveModulus([
      { modulusMpa: 210e3, poisson: 0.3 },
      { modulusMpa: 70e3, poisson: 0.3 },
    ])
    const contact = lineContact(35e3, 50, modulus)
    expectNear(contact.halfWidthMm, 6.2146, {
      rel: 1e-3,
      because: 'benchmark answer, moduli verified, load from memory',
    })
    expectNear(contact.peakMpa, 3585.36, { rel: 1e-3, because: 'benchmark answer, moduli verified, load from memory' })
  })

  it('stands beside the foundation where the layer is thick: 42.0 against 53.3 MPa', () => {
    const contact = pointContact(1000, 30, effectiveModulus([{ modulusMpa: 463, poisson: 0.46 }]))
    expectNear(contact.peakMpa, 42.0123, { abs: 1e-4, because: 'printed to four decimals' })
    expectNear(contact.radiusMm, 3.371186, { abs: 1e-6, because: 'printed to six decimals' })
  })
})

describe('the three outside sources of §7.2 through the half-space grid solver, never through Hertz', () => {
  const grid = (cellMm: number, half: number, gap: (x: number, y: number) => number, rows: number) => {
    const columns = 2 * half + 1
    const gapMm = new Float64Array(columns * rows)
    for (let j = 0; j < rows; j++)
      for (let i = 0; i < columns; i++) gapMm[j * columns + i] = gap((i - half) * cellMm, (j - (rows - 1) / 2) * cellMm)
    return { cellMm, columns, rows, gapMm }
  }
  const cells = { rel: 0.02, because: 'patch counted in cells, about 15 to the radius' }
  const close = { rel: 0.01, because: 'about 15 cells to the radius' }

  it('rigid flat on a sphere of R 8, E 1000, ν 0.3: a = 1.010', () => {
    const modulus = effectiveModulus([{ modulusMpa: 1000, poisson: 0.3 }])
    const surface = grid(1.01 / 15, 19, (x, y) => (x * x + y * y) / 16, 39)
    const contact = expectOk(halfSpaceContact(surface, 60 * Math.PI, modulus))
    expectNear(Math.sqrt(contact.areaMm2 / Math.PI), 1.01, cells)
    expectNear(contact.peakMpa, 90 / 1.009635 ** 2, close)
    expectNear(contact.approachMm, 1.009635 ** 2 / 8, close)
    expectNear(contact.forceN, 60 * Math.PI, { rel: 1e-12, because: 'the load is kept exactly' })
  })

  it('two spheres of R 50, E 20000, ν 0.3: a 10, p0 2798.329 at an approach of 4', () => {
    const body = { modulusMpa: 20000, poisson: 0.3 }
    const modulus = effectiveModulus([body, body])
    const surface = grid(10 / 15, 19, (x, y) => (x * x + y * y) / 50, 39)
    const contact = expectOk(halfSpaceContact(surface, (4 / 3) * modulus * 5 * 8, modulus))
    expectNear(Math.sqrt(contact.areaMm2 / Math.PI), 10, cells)
    expectNear(contact.peakMpa, 2798.329, close)
    expectNear(contact.approachMm, 4, close)
  })

  it('cylinder on block, 35 kN per mm: a 6.2146, p0 3585.36', () => {
    const modulus = effectiveModulus([
      { modulusMpa: 210e3, poisson: 0.3 },
      { modulusMpa: 70e3, poisson: 0.3 },
    ])
    const surface = grid(0.05, 180, (x) => (x * x) / 100, 1)
    const contact = expectOk(lineHalfSpaceContact(surface, 35e3, modulus))
    expectNear(contact.areaMm2 / 2, 6.2146, close)
    expectNear(contact.peakMpa, 3585.36, close)
  })
})
