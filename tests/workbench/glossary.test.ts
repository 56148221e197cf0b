import { expect, test } from 'vitest'
import { glossary } from '../../src/workbench/help/glossary.ts'

test('every word is explained once, in a sentence, and no two kinds of thing share a drawing', () => {
  const terms = glossary.map(({ term }) => term)
  expect(new Set(terms).size).toBe(terms.length)
  for (const { term, meaning } of glossary) expect(meaning, term).toMatch(/^[A-Z0-9].*\.$/)
  const uses = (name: string) => glossary.filter(({ drawing }) => drawing === name).length
  expect(glossary.filter(({ drawing }) => uses(drawing) > 2).map(({ term }) => term)).toEqual([])
})
