import { describe, expect, test } from 'vitest'
import { isClosed } from '../../src/geometry/closed.ts'
import { boundingBox, volume } from '../../src/geometry/measure.ts'
import { allHits } from '../../src/geometry/query.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import type { Vec3 } from '../../src/geometry/vec.ts'
import { partialFamilies, totalFamilies } from '../../src/implants/families.ts'
import { boxApMm } from '../../src/implants/family.ts'
import { femoralSolid } from '../../src/implants/femoral-solid.ts'
import { measureFemoral, measurePartial, measureTibial } from '../../src/implants/measured.ts'
import { mirrorAcrossZ } from '../../src/implants/mirror.ts'
import { partialTrayPolygon, partialTraySolid } from '../../src/implants/partial-solids.ts'
import { thickenedGrid } from '../../src/implants/thickened-grid.ts'
import { trayPolygon } from '../../src/implants/tray-outline.ts'
import { insertSolid, plateSolid, traySolid } from '../../src/implants/tray-solid.ts'
import { signedArea } from '../../src/planning/polygon.ts'
import { expectNear } from '../near.ts'

const femorals = totalFamilies.flatMap((family) => family.femoral)
const tibials = totalFamilies.flatMap((family) => family.tibial)

describe('the generic total family', () => {
  test('has eight sizes of each component that grow in every direction', () => {
    for (const family of totalFamilies) {
      expect(family.femoral.length).toBeGreaterThanOrEqual(8)
      expect(family.tibial.length).toBeGreaterThanOrEqual(8)
      const growing = (values: number[]) => values.every((v, i) => i === 0 || v > values[i - 1]!)
      expect(growing(family.femoral.map((s) => s.overallApMm))).toBe(true)
      expect(growing(family.femoral.map((s) => s.overallMlMm))).toBe(true)
      expect(growing(family.tibial.map((s) => s.overallMlMm))).toBe(true)
      expect(growing(family.tibial.map((s) => s.medialApMm))).toBe(true)
    }
  })

  test('lies within published anthropometry', () => {
    // Terzidis et al., Anat Res Int 2012 and Kapur et al., Folia Medica (Sarajevo): condylar depth, women's mean less two
    // standard deviations 47.3 to men's mean and two 73.6; bicondylar width up to 97 (the cut bone is narrower).
    for (const s of femorals) {
      expect(s.overallApMm).toBeGreaterThan(47.3)
      expect(s.overallApMm).toBeLessThan(73.6)
      expect(s.overallMlMm).toBeLessThan(97)
      expect(s.overallMlMm).toBeGreaterThan(s.overallApMm)
    }
    // Plateau sizes collected in PMC9703208: width 60…95 over all series at two standard deviations, width to depth
    // 1.5–1.6, medial plateau longer than the lateral by 3–6.
    for (const s of tibials) {
      expect(s.overallMlMm).toBeGreaterThanOrEqual(59)
      expect(s.overallMlMm).toBeLessThanOrEqual(95)
      expect(s.overallMlMm / ((s.medialApMm + s.lateralApMm) / 2)).toBeGreaterThan(1.45)
      expect(s.overallMlMm / ((s.medialApMm + s.lateralApMm) / 2)).toBeLessThan(1.65)
      expect(s.medialApMm - s.lateralApMm).toBeGreaterThanOrEqual(3)
      expect(s.medialApMm - s.lateralApMm).toBeLessThanOrEqual(6)
    }
  })

  test('every solid is closed, outward and unlike its mirror only in winding', () => {
    for (const s of femorals) {
      const solid = femoralSolid(s)
      expect(isClosed(solid)).toBe(true)
      expectNear(volume(mirrorAcrossZ(solid)), volume(solid), { rel: 1e-12, because: 'a mirror keeps volume' })
    }
    for (const s of tibials) expect(isClosed(traySolid(s, 7))).toBe(true)
    for (const s of [...femorals]) expect(volume(femoralSolid(s))).toBeGreaterThan(0)
    for (const s of tibials) expect(volume(traySolid(s, 7))).toBeGreaterThan(0)
  })

  test('measured by rays, distal, posterior and composite thickness are what the dimensions ask', () => {
    const exact = { absMm: 1e-9, because: 'the crest lies on grid points; only rounding differs' }
    for (const s of femorals) {
      const m = measureFemoral(s)
      expectNear(m.distalMedial.thicknessMm, s.distalMm, exact)
      expectNear(m.distalLateral.thicknessMm, s.distalMm, exact)
      expectNear(m.posteriorMedial.thicknessMm, s.posteriorMm, exact)
      expectNear(m.posteriorLateral.thicknessMm, s.posteriorMm, exact)
    }
    for (const s of tibials) {
      for (const insertMm of [7, 9.5, 14]) {
        const m = measureTibial(s, insertMm)
        expectNear(m.medial.thicknessMm, s.trayMm + insertMm, exact)
        expectNear(m.lateral.thicknessMm, s.trayMm + insertMm, exact)
      }
    }
  })

  test('a femoral component has crests at their spacing and its overall lengths', () => {
    const exact = { absMm: 1e-9, because: 'grid points lie on the extreme lines' }
    for (const s of femorals) {
      const m = measureFemoral(s)
      expectNear(m.distalLateral.point[2] - m.distalMedial.point[2], s.crestSpacingMm, exact)
      const z = [...Array(m.solid.positions.length / 3).keys()].map((i) => m.solid.positions[3 * i + 2]!)
      expectNear(Math.max(...z) - Math.min(...z), s.overallMlMm, exact)
      expectNear(
        s.posteriorMm + boxApMm(s) + s.anteriorMm / Math.cos((s.flangeTiltDeg * Math.PI) / 180),
        s.overallApMm,
        exact,
      )
    }
  })

  test('a femoral component is nowhere thinner than 1.5 mm square to its bone side, away from the wall of the notch', () => {
    for (const s of femorals) {
      const tree = buildTree(femoralSolid(s))
      const box = boxApMm(s)
      const tilt = (s.flangeTiltDeg * Math.PI) / 180
      const chamfer = s.anteriorChamferMm
      const sides: { from: Vec3; to: Vec3; outward: Vec3 }[] = [
        { from: [s.posteriorChamferMm, 0, 0], to: [box - chamfer, 0, 0], outward: [0, -1, 0] },
        { from: [0, s.posteriorChamferMm, 0], to: [0, s.condyleHeightMm - 1, 0], outward: [-1, 0, 0] },
        {
          from: [box + chamfer * Math.tan(tilt), chamfer, 0],
          to: [box + (s.flangeHeightMm - 2) * Math.tan(tilt), s.flangeHeightMm - 2, 0],
          outward: [Math.cos(tilt), -Math.sin(tilt), 0],
        },
      ]
      for (const { from, to, outward } of sides) {
        for (const t of [0.02, 0.25, 0.5, 0.75, 0.98]) {
          for (const share of [-0.34, -0.2, 0, 0.2, 0.34]) {
            const p: Vec3 = [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1]), share * s.overallMlMm]
            if (Math.abs(p[2]) < s.notchWidthMm / 2 && outward[1] === -1 && t < 0.9) continue
            const start: Vec3 = [p[0] - outward[0], p[1] - outward[1], p[2]]
            const hits = allHits(tree, start, outward)
            if (hits.length < 2) continue
            expect(hits[1]!.distanceMm - hits[0]!.distanceMm).toBeGreaterThan(1.5)
          }
        }
      }
    }
  })

  test('the tray plate is a straight prism: outline area times thickness', () => {
    for (const s of tibials) {
      expectNear(volume(plateSolid(s)), Math.abs(signedArea(trayPolygon(s))) * s.trayMm, {
        rel: 1e-12,
        because: 'the plate is meshed on the points of the outline itself',
      })
    }
  })

  test('a thicker insert adds outline area times the difference', () => {
    for (const s of tibials) {
      const added = volume(traySolid(s, 10)) - volume(traySolid(s, 7))
      expectNear(added, Math.abs(signedArea(trayPolygon(s))) * s.insertScale ** 2 * 3, {
        rel: 1e-9,
        because: 'the same surface, raised',
      })
    }
  })
})

describe('the generic medial partial family', () => {
  test('has eight sizes whose solids are closed and measured as thick as their dimensions ask', () => {
    const exact = { absMm: 1e-9, because: 'the crest lies on grid points' }
    for (const family of partialFamilies) {
      expect(family.femoral.length).toBeGreaterThanOrEqual(8)
      expect(family.tibial.length).toBeGreaterThanOrEqual(8)
      family.femoral.forEach((femoral, i) => {
        const tibial = family.tibial[i]!
        for (const insertMm of [6, 8.5]) {
          const m = measurePartial(femoral, tibial, insertMm)
          expect(isClosed(m.femoralSolid)).toBe(true)
          expect(isClosed(m.tibialSolid)).toBe(true)
          expectNear(m.distal.thicknessMm, femoral.distalMm, exact)
          expectNear(m.posterior.thicknessMm, femoral.posteriorMm, exact)
          expectNear(m.plateau.thicknessMm, tibial.trayMm + insertMm, exact)
          expect(m.femoralVolumeMm3).toBeGreaterThan(0)
        }
        const added = volume(partialTraySolid(tibial, 9)) - volume(partialTraySolid(tibial, 6))
        expectNear(added, Math.abs(signedArea(partialTrayPolygon(tibial))) * 3, { rel: 1e-9, because: 'raised' })
      })
    }
  })

  // Common practice, no source (check values §4.1): femoral 4–6.5 mm, tibial composite 6–8 mm and more.
  test('is as thick as common practice', () => {
    for (const family of partialFamilies) {
      for (const s of family.femoral) {
        expect(s.distalMm).toBeGreaterThanOrEqual(4)
        expect(s.distalMm).toBeLessThanOrEqual(6.5)
      }
      for (const s of family.tibial) expect(s.trayMm + family.insertsMm[0]!).toBeGreaterThanOrEqual(6)
    }
  })
})

test('a mobile insert keeps inside the tray and closer to the femoral radii than a fixed one', () => {
  const fixed = totalFamilies.find((f) => f.bearing === 'fixed')!
  const mobile = totalFamilies.find((f) => f.bearing === 'mobile')!
  mobile.tibial.forEach((s, i) => {
    const box = boundingBox(insertSolid(s, 8))
    const tray = boundingBox(plateSolid(s))
    for (const k of [0, 2] as const) {
      expect(box.min[k]).toBeGreaterThan(tray.min[k])
      expect(box.max[k]).toBeLessThan(tray.max[k])
    }
    expect(s.insertCoronalRadiusMm).toBeLessThan(fixed.tibial[i]!.insertCoronalRadiusMm)
  })
})

describe('a thickened grid', () => {
  test('of a flat sheet is a box of the right volume', () => {
    const box = thickenedGrid(
      5,
      4,
      (r, c) => [r, 0, c],
      (r, c) => [r, 2, c],
    )
    expect(isClosed(box)).toBe(true)
    expectNear(volume(box), 4 * 3 * 2, { rel: 1e-14, because: 'a box' })
  })

  test('with a window left out stays closed and loses just the window', () => {
    const frame = thickenedGrid(
      6,
      6,
      (r, c) => [r, 0, c],
      (r, c) => [r, 2, c],
      (r, c) => !(r >= 1 && r <= 2 && c >= 2 && c <= 3),
    )
    expect(isClosed(frame)).toBe(true)
    expectNear(volume(frame), (25 - 4) * 2, { rel: 1e-14, because: 'a box less a box' })
  })

  test('that narrows to a point stays closed', () => {
    const wedge = thickenedGrid(
      4,
      4,
      (r, c) => [r, 0, (c * (3 - r)) / 3],
      (r, c) => [r, 1, (c * (3 - r)) / 3],
    )
    expect(isClosed(wedge)).toBe(true)
    expectNear(volume(wedge), (3 * 3) / 2, { rel: 1e-14, because: 'a triangular prism' })
  })
})
