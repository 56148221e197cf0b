import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { bookSite, type SiteStock, siteStock } from '../../src/planning/bookkeeping.ts'
import type { PlanChoices, SiteId } from '../../src/planning/terms.ts'
import { expectNear } from '../near.ts'
import { choicesWith } from './demo-input.ts'

const stock = (changes: Partial<SiteStock> = {}): SiteStock => ({
  id: 'femur-distal-medial',
  cartilageMm: 2,
  wornMm: 0,
  kerfMm: 1,
  componentMm: 8,
  meshSurface: 'bone',
  ...changes,
})
const exact = { absMm: 1e-12, because: 'three additions of numbers below 30' }

describe('thickness bookkeeping', () => {
  // Check values §4.1 (computed there): component, wear, kerf → caliper thickness = component − wear − kerf.
  test.each([
    [8, 0, 1, 7.0],
    [8, 2, 1, 5.0],
    [9, 0, 1.27, 7.73],
    [9, 2, 1.27, 5.73],
  ])(
    'component %d, wear %d, kerf %d measures %d on the piece when nothing is left over',
    (component, worn, kerf, piece) => {
      const cartilage = 2
      const aboveMesh = cartilage
      const site = bookSite(
        stock({ componentMm: component, wornMm: worn, kerfMm: kerf, cartilageMm: cartilage }),
        [0, 0, 0],
        component - aboveMesh,
      )
      expectNear(site.differenceMm, 0, exact)
      expectNear(site.pieceMm, piece, exact)
    },
  )

  test('wear beyond the cartilage is bone: it counts in the total and is missing from the piece', () => {
    const site = bookSite(stock({ wornMm: 3.5 }), [0, 0, 0], 4)
    expectNear(site.totalMm, 4 + 2 + 1.5, exact)
    expectNear(site.pieceMm, 4 - 1, exact)
  })

  test('a mesh that includes cartilage counts no cartilage twice', () => {
    const site = bookSite(stock({ meshSurface: 'cartilage', wornMm: 1.5 }), [0, 0, 0], 6.5)
    expectNear(site.totalMm, 8, exact)
    expectNear(site.pieceMm, 5.5, exact)
  })

  test('total is always piece, kerf and wear together, for both kinds of mesh', () => {
    const length = (max: number) => fc.double({ min: 0, max, noNaN: true })
    fc.assert(
      fc.property(
        length(20),
        length(5),
        length(6),
        length(2),
        length(20),
        fc.constantFrom('bone' as const, 'cartilage' as const),
        (distanceMm, cartilageMm, wornMm, kerfMm, componentMm, meshSurface) => {
          const site = bookSite(stock({ cartilageMm, wornMm, kerfMm, componentMm, meshSurface }), [0, 0, 0], distanceMm)
          expectNear(site.pieceMm + site.kerfMm + site.wornMm, site.totalMm, exact)
          expectNear(site.totalMm - site.componentMm, site.differenceMm, exact)
        },
      ),
    )
  })

  test('half a millimetre is within the tolerance, a little more is not', () => {
    expect(bookSite(stock(), [0, 0, 0], 6.5).within).toBe(true)
    expect(bookSite(stock(), [0, 0, 0], 6.51).within).toBe(false)
    expect(bookSite(stock(), [0, 0, 0], 5.5).within).toBe(true)
    expect(bookSite(stock(), [0, 0, 0], 5.49).within).toBe(false)
  })
})

describe('wear of the posterior condyles', () => {
  const wornAt = (id: SiteId, wear: Partial<PlanChoices['wear']>) =>
    siteStock(id, { ...choicesWith(), wear: { ...newCase.wear, ...wear } }, 9).wornMm

  test('is that of their compartment until it is entered by itself', () => {
    expect(wornAt('femur-posterior-medial', { medialMm: 3 })).toBe(3)
    expect(wornAt('femur-posterior-medial', { medialMm: 3, posteriorMedialMm: 0 })).toBe(0)
    expect(wornAt('femur-distal-medial', { medialMm: 3, posteriorMedialMm: 0 })).toBe(3)
    expect(wornAt('tibia-medial', { medialMm: 3, posteriorMedialMm: 0 })).toBe(3)
    expect(wornAt('femur-posterior-lateral', { lateralMm: 1, posteriorLateralMm: 2 })).toBe(2)
  })
})
