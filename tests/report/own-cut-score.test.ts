import { describe, expect, it } from 'vitest'
import { assess } from '../../src/assess.ts'
import { newCase } from '../../src/casefile/document.ts'
import { setPath } from '../../src/casefile/set-path.ts'
import type { Findings } from '../../src/findings.ts'
import { scoreOwnCut } from '../../src/report/own-cut-score.ts'
import { bp3d } from '../assess/shared-bones.ts'
import { expectOk } from '../near.ts'

describe('a trainee’s own cut', () => {
  const saw = newCase.saw
  const paths = ['cuts.tibia.varusDeg', 'cuts.tibia.depthMm']
  const rule = expectOk(assess(newCase, bp3d()))
  const tibia = rule.cuts.find(({ id }) => id === 'tibia')!
  const own = (varusDeg: number) =>
    expectOk(assess(expectOk(setPath(newCase, 'cuts.tibia.varusDeg', varusDeg)), bp3d()))

  const tilted = (off: number): Findings => ({
    ...rule,
    cuts: rule.cuts.map((cut) => (cut.id === 'tibia' ? { ...cut, varusDeg: tibia.varusDeg! + off } : cut)),
  })

  it('that is the rule’s own holds in every line', () => {
    const { held, lines } = scoreOwnCut(rule, rule, paths, saw, 'feet-together')
    expect(held).toBe(lines.length)
    expect(lines.map(({ what }) => what)).toEqual([
      'Tibia, varus',
      'Tibia, depth',
      'Tibia, medial: taken − put back',
      'Tibia, lateral: taken − put back',
      'Tray to floor, side to side (feet together)',
    ])
  })

  it('five degrees off fails its angle and the site that it robs, each with a reason of its own', () => {
    const { held, lines } = scoreOwnCut(rule, own(tibia.varusDeg! + 5), paths, saw, 'feet-together')
    const line = (what: string) => lines.find((l) => l.what.startsWith(what))!
    expect(line('Tibia, varus')).toMatchObject({ held: false })
    expect(line('Tibia, varus').reason).toMatch(/^\+5\.0° off: beyond what a saw misses by anyway .*2\.0°/)
    // Depth is entered at the lateral plateau, so tilting about it takes from the medial side alone.
    expect(line('Tibia, medial').reason).toMatch(/\d\.\d mm more is taken than the component puts back/)
    expect(line('Tibia, medial').held).toBe(false)
    expect(held).toBeLessThan(lines.length)
  })

  it('within twice the saw’s standard deviation is held: 2 × 1° in a new case', () => {
    for (const [off, held] of [
      [1.9, true],
      [2.1, false],
    ] as const)
      expect(scoreOwnCut(rule, tilted(off), paths, saw, 'natural').lines[0]!.held, String(off)).toBe(held)
  })

  it('says nothing about a path that it does not know', () => {
    const { lines } = scoreOwnCut(rule, rule, ['saw.kerfMm'], saw, 'natural')
    expect(lines.map(({ what }) => what)).toEqual(['Tray to floor, side to side (natural)'])
  })
})
