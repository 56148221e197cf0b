import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge, judgedLimits, unjudged } from '../../src/planning/limits.ts'
import { planCuts } from '../../src/planning/plan.ts'
import { sawErrors } from '../../src/planning/saw-error.ts'
import { expectOk } from '../near.ts'
import { choicesWith, demoInput } from './demo-input.ts'

describe('a limit', () => {
  it('on a withheld number is never inside, caution or beyond, whatever its bounds', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true }), fc.double({ noNaN: true }), (low, high) => {
        const limit = judge('hka', null, low, high, 2, '')
        expect(limit).toEqual({ id: 'hka', value: null, low, high, status: null, basis: '' })
      }),
    )
  })

  it('is inside up to its bounds, caution up to the margin beyond them, then beyond', () => {
    const at = (value: number) => judge('hka', value, 177, 183, 2, '').status
    expect([177, 183, 176.9, 175, 174.9, 185.1].map(at)).toEqual([
      'inside',
      'inside',
      'caution',
      'caution',
      'beyond',
      'beyond',
    ])
  })

  it('that is not judged is named by one warning with the paths of its nulls, and left out of the judged ones', () => {
    const limits = [judge('mpta', 90, 85, 95, 2, ''), judge('hka', null, 177, 183, 2, '')]
    expect(unjudged(limits).map((w) => w.spoils)).toEqual([['limits.1.value', 'limits.1.status']])
    expect(judgedLimits(limits).map((l) => l.id)).toEqual(['mpta'])
    expect(unjudged(limits.slice(0, 1))).toEqual([])
  })

  it('on the limb of a partial whose native axis is withheld says so, in the plan and in the saw study', () => {
    const demo = demoInput({}, {}, 2.5)
    const input = {
      ...demo,
      angles: { ...demo.angles, hkaDeg: null, arithmeticHkaDeg: null },
      choices: choicesWith({ procedure: 'medial-partial' }),
    }
    const plan = expectOk(planCuts(input))
    expect(plan.after.hkaDeg).toBeNull()
    expect(plan.limits.find((l) => l.id === 'hka')).toMatchObject({ value: null, status: null })
    expect(plan.warnings.flatMap((w) => w.spoils)).toContain('limits.0.status')
    const errors = expectOk(
      sawErrors(input, plan, { draws: 10, angleSdDeg: 1, depthSdMm: 0.5, landmarks: false, seed: 1 }),
    )
    expect(errors.limits.map((l) => l.id)).not.toContain('hka')
    expect(errors.assumptions.join()).toContain('withheld')
  })
})
