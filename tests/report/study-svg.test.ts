import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { caution } from '../../src/casefile/program.ts'
import { axisBounds, axisTicks } from '../../src/report/axis-ticks.ts'
import { contour } from '../../src/report/contour.ts'
import { studyLimits } from '../../src/report/study-limits.ts'
import { studySvg } from '../../src/report/study-svg.ts'
import { type StudyCell, type Sweep, sweepColumns, sweepPoints, type Vary } from '../../src/studies/sweep.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'

const varus: Vary = { path: 'cuts.tibia.varusDeg', from: -4, to: 8, step: 1 }
const slope: Vary = { path: 'cuts.tibia.slopeDeg', from: 0, to: 10, step: 2 }

/** A sweep whose outputs are simple functions of its point. */
function made(vary: readonly Vary[], hole = -1): Sweep {
  const columns = sweepColumns(vary)
  const rows = expectOk(sweepPoints(vary)).map((point, k): readonly StudyCell[] =>
    columns.map(({ name }, c) => {
      if (c < vary.length) return point[c]!
      if (name === 'failure') return k === hole ? 'cut/misses' : null
      if (k === hole) return null
      if (name === 'after.hkaDeg') return 180 - point[0]!
      if (name === 'stance.trayToFloorCoronalDeg') return 0.5 * point[0]! + 0.1 * (point[1] ?? 0)
      return name === 'limitsBeyond' ? null : 1
    }),
  )
  return { vary, columns, rows, assumptions: [{ what: 'pose of the table', value: 'feet-together', basis: '' }] }
}

describe('the drawing of a study', () => {
  it('has a panel per output with every point, its limits, and the caution whole', () => {
    const svg = expectOk(studySvg(made([varus]), newCase, ['after.hkaDeg', 'stance.trayToFloorCoronalDeg']))
    expect(svg.match(/<circle /g)).toHaveLength(26)
    expect(svg.match(/<polyline /g)).toHaveLength(2)
    expect(svg).toContain('limit after.hkaDeg 177')
    expect(svg).toContain('limit after.hkaDeg 183')
    const words = svg.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ')
    expect(words).toContain(caution)
    expect(svg).not.toMatch(/NaN|Infinity|undefined|null/)
  })

  it('leaves a line open where a point has failed', () => {
    const svg = expectOk(studySvg(made([varus], 5), newCase, ['after.hkaDeg']))
    expect(svg.match(/<circle /g)).toHaveLength(12)
    expect(svg.match(/<polyline /g)).toHaveLength(2)
  })

  it('is a map over two parameters with the level lines of the limits where they are crossed', () => {
    const svg = expectOk(studySvg(made([varus, slope], 7), newCase, ['stance.trayToFloorCoronalDeg']))
    expect(svg.match(/<rect fill="rgb/g)).toHaveLength(13 * 6 - 1 + 40)
    expect(svg.match(/class="hole"/g)).toHaveLength(1)
    const path = /<path class="limit" d="([^"]+)"/.exec(svg)![1]!
    const xs = [...path.matchAll(/[ML]([\d.]+),/g)].map((m) => Number(m[1]))
    const cell = (760 - 150 - 70) / 13
    for (const x of xs)
      expectNear(x, 70 + (7 + 0.5) * cell, {
        abs: 0.01,
        because: 'HKA 177 lies on the column varus 3, written to 0.01',
      })
    expect(svg).not.toMatch(/NaN|Infinity|undefined/)
  })

  it('refuses what is no output or has no value', () => {
    expectFailure(studySvg(made([varus]), newCase, ['colour']), 'case/unknown-path')
    expectFailure(studySvg(made([varus]), newCase, ['cuts.tibia.varusDeg']), 'case/unknown-path')
    expectFailure(studySvg(made([varus]), newCase, ['limitsBeyond']), 'case/out-of-range')
  })

  it('takes its limit lines from the case', () => {
    const limits = { limits: { ...newCase.limits, limbDeg: 5 } }
    expect(studyLimits(limits, ['after.hkaDeg', 'loading.vertical.shearN']).map((l) => l.value)).toEqual([175, 185])
    expect(studyLimits(limits, ['sites.tibia-medial.differenceMm']).map((l) => l.value)).toEqual([-0.5, 0.5])
  })
})

describe('a level line', () => {
  it('of a plane lies on the plane, in every cell it crosses', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -2, max: 2, noNaN: true }),
        fc.double({ min: -2, max: 2, noNaN: true }),
        fc.double({ min: -5, max: 5, noNaN: true }),
        (a, b, level) => {
          const grid = Array.from({ length: 7 * 5 }, (_, k) => a * (k % 7) + b * Math.floor(k / 7))
          for (const piece of contour(grid, 7, level))
            for (const [x, y] of piece)
              expectNear(a * x + b * y, level, { abs: 1e-9, because: 'linear along every edge' })
        },
      ),
    )
  })

  it('closes around a hill, and has no piece in a cell with a missing corner', () => {
    const hill = Array.from({ length: 81 }, (_, k) => -Math.hypot((k % 9) - 4, Math.floor(k / 9) - 4))
    const ends = new Map<string, number>()
    for (const piece of contour(hill, 9, -2.5))
      for (const [x, y] of piece) {
        const key = `${x.toFixed(9)},${y.toFixed(9)}`
        ends.set(key, (ends.get(key) ?? 0) + 1)
      }
    expect(ends.size).toBeGreaterThan(8)
    expect([...ends.values()].every((n) => n === 2)).toBe(true)
    expect(contour([0, 1, null, 1], 2, 0.5)).toEqual([])
    expect(contour([0, 1, 1, 0], 2, 0.5)).toHaveLength(2)
  })
})

describe('ticks', () => {
  it('are round, inside the bounds and neither few nor many', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        fc.double({ min: 1e-3, max: 1e4, noNaN: true }),
        (low, wide) => {
          const ticks = axisTicks(low, low + wide)
          expect(ticks.length).toBeGreaterThanOrEqual(2)
          expect(ticks.length).toBeLessThanOrEqual(8)
          for (const t of ticks) expect(t >= low - 1e-6 * wide && t <= low + wide + 1e-6 * wide).toBe(true)
        },
      ),
    )
    expect(axisTicks(-4, 8)).toEqual([-4, -2, 0, 2, 4, 6, 8])
    expect(axisBounds([3, 3])).toEqual([2, 4])
  })
})
