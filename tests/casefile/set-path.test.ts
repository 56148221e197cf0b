import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { parseCase } from '../../src/casefile/schema.ts'
import { getPath, setAssignment, setPath } from '../../src/casefile/set-path.ts'
import { type PathRule, type StablePath, stablePaths } from '../../src/casefile/stable-paths.ts'
import { expectFailure, expectOk } from '../near.ts'

const entries = Object.entries(stablePaths) as [StablePath, PathRule][]

/** The contract's list, letter by letter. */
const contract =
  'cuts.tibia.varusDeg cuts.tibia.slopeDeg cuts.tibia.depthMm cuts.tibia.rotationDeg cuts.femur.valgusDeg cuts.femur.flexionDeg cuts.femur.rotationDeg cuts.femur.distalMm implants.femurSize implants.tibiaSize implants.insertMm wear.medialMm wear.lateralMm saw.kerfMm limits.limbDeg limits.jointLineLowDeg limits.jointLineHighDeg stance.pose stance.hipHalfSpacingMm stance.ankleHalfSpacingMm stance.flexionDeg stance.footRotationDeg load.bodyMassKg load.forceN bearing.modulusMpa bearing.poisson'.split(
    ' ',
  )

describe('setting a path of the case', () => {
  it('knows every stable path of the contract', () => {
    expect(contract.filter((path) => !(path in stablePaths))).toEqual([])
  })

  it('leads every path to a field that a new case has', () => {
    for (const [path] of entries) expect(expectOk(getPath(newCase, path)), path).not.toBeUndefined()
  })

  it('reads text and number alike and changes nothing else', () => {
    const text = expectOk(setPath(newCase, 'cuts.tibia.varusDeg', '3.5'))
    expect(text).toEqual(expectOk(setPath(newCase, 'cuts.tibia.varusDeg', 3.5)))
    expect(text).toEqual({
      ...newCase,
      cuts: { ...newCase.cuts, tibia: { ...newCase.cuts.tibia, varusDeg: 3.5 } },
    })
    expect(newCase.cuts.tibia.varusDeg).toBeNull()
  })

  it('gives a value back to the recipe with null, auto or an empty text', () => {
    const set = expectOk(setPath(newCase, 'implants.insertMm', 10))
    for (const nothing of [null, 'null', 'auto', ''])
      expect(expectOk(setPath(set, 'implants.insertMm', nothing))).toEqual(newCase)
    expectFailure(setPath(newCase, 'saw.kerfMm', null), 'case/out-of-range')
  })

  it('keeps every settable value within what a saved case may hold', () => {
    fc.assert(
      fc.property(fc.constantFrom(...entries), fc.double({ noNaN: true, min: 0, max: 1 }), ([path, rule], share) => {
        if (path === 'limits.jointLineLowDeg' || path === 'limits.jointLineHighDeg') return
        const value =
          rule.kind === 'number'
            ? rule.integer
              ? Math.round(rule.low + share * (rule.high - rule.low))
              : rule.low + share * (rule.high - rule.low)
            : rule.kind === 'switch'
              ? share < 0.5
              : rule.choices[Math.floor(share * rule.choices.length * 0.999)]!
        const next = expectOk(setPath(newCase, path, value))
        expect(expectOk(getPath(next, path))).toBe(value === 0 ? 0 : value)
        expect(expectOk(parseCase(JSON.parse(JSON.stringify(next))))).toEqual(next)
      }),
    )
  })

  it('refuses values beyond a range, of a wrong type or not finite', () => {
    for (const [path, rule] of entries) {
      if (rule.kind === 'number') {
        expectFailure(setPath(newCase, path, rule.high + 1), 'case/out-of-range')
        expectFailure(setPath(newCase, path, rule.low - 1), 'case/out-of-range')
        for (const wrong of ['three', '1,5', '0x10', 'Infinity', Number.NaN, Number.POSITIVE_INFINITY, true])
          expectFailure(setPath(newCase, path, wrong), 'case/out-of-range')
      } else expectFailure(setPath(newCase, path, 'no such thing'), 'case/out-of-range')
    }
    expectFailure(setPath(newCase, 'implants.femurSize', 2.5), 'case/out-of-range')
    expectFailure(setPath(newCase, 'limits.jointLineLowDeg', 96), 'case/out-of-range')
  })

  it('refuses unknown paths, inherited names among them, and says what was near', () => {
    for (const path of [
      'cuts.tibia.varus',
      '__proto__',
      'constructor',
      'toString',
      'cuts',
      '',
      'version',
      'meshes.femur',
    ])
      expectFailure(setPath(newCase, path, 1), 'case/unknown-path')
    const near = setPath(newCase, 'tibia.slopeDeg', 3)
    expect(near.ok ? '' : near.failure.hint).toContain('cuts.tibia.slopeDeg')
  })

  it('splits PATH=VALUE at the first equals sign', () => {
    expect(expectOk(setAssignment(newCase, 'stance.pose=natural')).stance.pose).toBe('natural')
    expectFailure(setAssignment(newCase, 'stance.pose'), 'case/unknown-path')
    expectFailure(setAssignment(newCase, '=3'), 'case/unknown-path')
  })
})
