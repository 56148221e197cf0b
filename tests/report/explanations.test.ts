import { describe, expect, it } from 'vitest'
import { assess } from '../../src/assess.ts'
import { newCase } from '../../src/casefile/document.ts'
import { explain, explanations } from '../../src/report/explanations.ts'
import { bp3d } from '../assess/shared-bones.ts'
import { expectOk } from '../near.ts'

const withoutModel = [
  'schema',
  'run',
  'side',
  'sideSource',
  'procedure',
  'recipe',
  'references',
  'assumptions',
  'warnings',
  'measured',
]

function numbers(value: unknown, path: string, found: string[]): void {
  if (typeof value === 'number') found.push(path)
  else if (Array.isArray(value)) {
    for (const [i, item] of value.entries()) numbers(item, `${path}.${i}`, found)
  } else if (typeof value === 'object' && value !== null)
    for (const [key, item] of Object.entries(value)) numbers(item, path === '' ? key : `${path}.${key}`, found)
}

describe('explanations', () => {
  it('cover every number of the findings', () => {
    const found: string[] = []
    numbers(expectOk(assess(newCase, bp3d())), '', found)
    const unexplained = found.filter(
      (path) => !withoutModel.includes(path.split('.')[0] ?? '') && explain(path) === null,
    )
    expect([...new Set(unexplained.map((path) => path.replace(/\.\d+/g, '.*')))]).toEqual([])
    expect(found.length).toBeGreaterThan(300)
  })

  it('are written out: model, formula, source and what is left out', () => {
    for (const entry of explanations)
      for (const key of ['title', 'model', 'formula', 'source', 'leavesOut'] as const)
        expect(entry[key].length, `${entry.title} ${key}`).toBeGreaterThan(3)
    expect(explain('no.such.path')).toBeNull()
  })
})
