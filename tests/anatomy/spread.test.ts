import { describe, expect, it } from 'vitest'
import type { KneeAnatomy } from '../../src/anatomy/error-sources.ts'
import { defaultReferences, type Landmark, type LandmarkId, type Side } from '../../src/anatomy/terms.ts'
import { toDeg, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'
import { knee, turnedFile } from '../stance/anatomy-fixture.ts'
import { spreadsOf } from './spreads-of.ts'

/** A knee of known numbers with more landmarks, lying in one frame; SDs in mm, 0 where none is given. */
function kneeWith(sds: Readonly<Partial<Record<LandmarkId, number>>>, side: Side = 'right'): KneeAnatomy {
  const file = turnedFile(20, [30, -200, 90])
  const { femur, tibia } = knee({
    side,
    ldfaDeg: 87,
    mptaDeg: 86,
    hkaDeg: 180,
    cutMptaDeg: 90,
    cutLdfaDeg: 90,
    cutSlopeDeg: 3,
    ...(side === 'right' ? { femurFile: file, tibiaFile: file } : {}),
  })
  const s = side === 'right' ? 1 : -1
  const put = (p: Vec3): Vec3 => (side === 'right' ? mapped(file, p) : p)
  const more: Partial<Record<LandmarkId, Vec3>> = {
    femoralKneeCentre: put([0, 0, 0]),
    condylePosteriorMedial: put([-30, 8, -22 * s]),
    condylePosteriorLateral: put([-30, 8, 22 * s]),
    tibialKneeCentre: put([0, 0, 0]),
    posteriorNotch: put([-20, -12, 0]),
    tubercleMedialThird: put([25, -40, -2 * s]),
  }
  const at = (mm: Vec3): Landmark => ({ mm, confidence: 1, residualMm: 0, sdMm: 0, source: 'found', reason: null })
  const withSd = <T extends object>(marks: T): T =>
    Object.fromEntries(
      Object.entries(marks).map(([id, mark]) => [id, { ...mark, sdMm: sds[id as LandmarkId] ?? 0 }]),
    ) as T
  const added = Object.fromEntries(Object.entries(more).map(([id, mm]) => [id, at(mm)]))
  return {
    femur: { ...femur, landmarks: withSd({ ...femur.landmarks, ...added }) },
    tibia: {
      ...tibia,
      landmarks: withSd({
        ...tibia.landmarks,
        ...added,
        plateauMedial: at(tibia.medial.point),
        plateauLateral: at(tibia.lateral.point),
      }),
    },
  }
}

const mapped = (file: ReturnType<typeof turnedFile>, p: Vec3): Vec3 => {
  const r = file.rotation
  const t = file.translation
  return [0, 1, 2].map((k) => r[3 * k]! * p[0] + r[3 * k + 1]! * p[1] + r[3 * k + 2]! * p[2] + t[k]!) as unknown as Vec3
}

const spreads = (of: KneeAnatomy, meshSdMm = 0.25, how: Parameters<typeof spreadsOf>[2] = {}) =>
  spreadsOf(of, meshSdMm, { count: 4000, ...how })

const sampled = { rel: 0.04, because: 'small angles; 4000 draws know an SD to about 1 %' }
const everything: Readonly<Partial<Record<LandmarkId, number>>> = {
  hipCentre: 1,
  femoralKneeCentre: 1.5,
  condyleDistalMedial: 0.7,
  condyleDistalLateral: 0.7,
  tibialKneeCentre: 1.5,
  ankleCentre: 1.5,
  plateauMedial: 1,
  plateauLateral: 1,
  posteriorNotch: 2,
  tubercleMedialThird: 2,
}

describe('how an error of the landmarks reaches the angles', () => {
  it('the line through two condyles, each off its surface by σ, turns by √2 σ over their spacing', () => {
    const { budget, interval } = spreads(kneeWith({ condyleDistalMedial: 0.7, condyleDistalLateral: 0.7 }), 0.3)[
      'angles.ldfaDeg'
    ]!
    const sd = toDeg((Math.SQRT2 * 0.3) / 44)
    // Closed form: the angle of a line through two points with independent errors across it.
    expectNear(budget.sd, sd, sampled)
    expectNear(interval[1] - interval[0], 2 * 1.96 * sd, { rel: 0.06, because: 'quantiles of 4000 draws' })
    expectNear((interval[0] + interval[1]) / 2, 87, { absDeg: 0.1, because: 'no bias to first order' })
    expect(budget.parts[0]).toMatchObject({ source: 'meshSurface' })
    expect(budget.parts[0]!.share).toBeGreaterThan(0.98)
  })

  it('a hip centre off by σ turns the femoral axis by σ over the femur’s length (check values §1.1)', () => {
    const found = spreads(kneeWith({ hipCentre: 2 }))
    expectNear(found['angles.ldfaDeg']!.budget.sd, toDeg(Math.atan(2 / 430)), sampled)
    expectNear(found['angles.hkaDeg']!.budget.sd, toDeg(Math.atan(2 / 430)), sampled)
    expectNear(found['angles.mptaDeg']!.budget.sd, 0, { absDeg: 1e-12, because: 'the tibia knows no hip' })
    expect(found['angles.hkaDeg']!.budget.parts.map((part) => part.source)).toEqual(['hipCentre'])
  })

  it('independent errors add by their squares, in the draws as in the budget', () => {
    const found = spreads(kneeWith(everything))
    for (const [path, { budget }] of Object.entries(found)) {
      const sum = Math.sqrt(budget.parts.reduce((total, part) => total + part.sd ** 2, 0))
      expectNear(budget.sd, sum, { rel: 0.06, because: `${path}: nearly linear, 4000 draws` })
      expectNear(
        budget.parts.reduce((total, part) => total + part.share, 0),
        1,
        { abs: 1e-6, because: 'shares of one variance, less parts under 1e-8' },
      )
    }
    const sd = (path: string) => found[path]!.budget.sd
    expectNear(sd('angles.arithmeticHkaDeg'), Math.hypot(sd('angles.ldfaDeg'), sd('angles.mptaDeg')), {
      rel: 0.04,
      because: 'femur and tibia err independently',
    })
  })

  it('a plateau’s patch tilts by what independent surface errors over 10 mm leave of its plane', () => {
    const { budget } = spreads(kneeWith({ plateauMedial: 1 }), 0.25)['angles.slopeMedialDeg']!
    const cells = 500 / ((Math.PI / 4) * 100)
    // Slope of a least-squares plane: σ / (radius of gyration · √n).
    const sd = toDeg(0.25 / ((Math.sqrt(500 / Math.PI) / 2) * Math.sqrt(cells)))
    expectNear(budget.sd, sd, sampled)
  })

  it('gives the same numbers from the same seed and others from another', () => {
    const of = kneeWith(everything)
    expect(spreads(of, 0.25, { count: 300 })).toEqual(spreads(of, 0.25, { count: 300 }))
    expect(spreads(of, 0.25, { count: 300, seed: 4 })).not.toEqual(spreads(of, 0.25, { count: 300 }))
  })

  it('gives a leg and its mirror image, wherever they lie, the same intervals', () => {
    const right = spreads(kneeWith(everything), 0.25, { count: 500 })
    const left = spreads(kneeWith(everything, 'left'), 0.25, { count: 500 })
    expect(Object.keys(left)).toEqual(Object.keys(right))
    for (const [path, { interval }] of Object.entries(right))
      interval.forEach((end, k) => {
        expectNear(left[path]!.interval[k]!, end, { absDeg: 1e-8, because: 'the same draws in mirrored directions' })
      })
  })

  it('follows the definition in use: a knee centre between the plateaus errs as they do', () => {
    const of = kneeWith({ tibialKneeCentre: 9 })
    const between = spreads(of, 0.25, { references: { ...defaultReferences, tibialKneeCentre: 'plateaus' } })
    expectNear(between['angles.mptaDeg']!.budget.sd, 0, { absDeg: 1e-12, because: 'the spines are not used' })
    expect(spreads(of)['angles.mptaDeg']!.budget.sd).toBeGreaterThan(1)
  })
})
