import { describe, expect, it } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { recipeNames } from '../../src/planning/terms.ts'
import { sawOff } from '../../src/studies/saw-off.ts'
import { bp3d } from '../assess/shared-bones.ts'
import { expectOk } from '../near.ts'

function finished<T>(steps: Generator<number, T>): { readonly progress: readonly number[]; readonly value: T } {
  const progress: number[] = []
  for (;;) {
    const step = steps.next()
    if (step.done) return { progress, value: step.value }
    progress.push(step.value)
  }
}

describe('what if the saw is off, recipe by recipe', () => {
  it('gives chances for every recipe, the same from the same seed, and reports rising progress', () => {
    const { progress, value } = finished(sawOff(newCase, bp3d(), 400))
    const chances = expectOk(value)
    for (const recipe of recipeNames) {
      const { limits, sites, allSitesWithin } = expectOk(chances[recipe])
      expect(limits.map((l) => l.id)).toEqual(['hka', 'ldfa', 'mpta', 'slope'])
      expect(sites).toHaveLength(6)
      for (const share of [...limits.map((l) => l.inside), ...sites.map((s) => s.within), allSitesWithin]) {
        expect(share).toBeGreaterThanOrEqual(0)
        expect(share).toBeLessThanOrEqual(1)
      }
    }
    expect(progress).toEqual(progress.toSorted((a, b) => a - b))
    expect(progress.at(-1)).toBe(1)
    expect(expectOk(finished(sawOff(newCase, bp3d(), 400)).value)).toEqual(chances)
  })

  it('draws 2,000 times per recipe in less than a second of the processor', () => {
    const bones = bp3d()
    expectOk(finished(sawOff(newCase, bones, 100)).value)
    const before = process.cpuUsage()
    expectOk(finished(sawOff(newCase, bones, 2000)).value)
    const { user, system } = process.cpuUsage(before)
    expect((user + system) / 1e6 / recipeNames.length).toBeLessThan(1)
  })

  it('lets a recipe that cannot be planned fail alone', () => {
    const worn = { ...newCase, wear: { ...newCase.wear, medialMm: 5 }, saw: { ...newCase.saw, kerfMm: 2 } }
    const chances = expectOk(finished(sawOff(worn, bp3d(), 100)).value)
    expect(chances.mechanical).toMatchObject({ ok: false, failure: { code: 'cut/negative-piece' } })
    for (const recipe of ['anatomic', 'kinematic', 'restricted'] as const) expect(chances[recipe].ok, recipe).toBe(true)
  })
})
