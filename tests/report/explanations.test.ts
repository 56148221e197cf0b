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

/** The controversies of check values §12, each by words that only it would use. */
const controversies: readonly (readonly [path: string, words: RegExp])[] = [
  ['loading.0.shearToCompression', /only if the load is vertical.*10 to 20 times smaller/s],
  ['stance.0.trayToFloorCoronalDeg', /R² 0\.17, six people/],
  ['stance.0.trayToFloorCoronalDeg', /three degrees of lean need feet close together/],
  ['angles.hkaDeg', /bones from CT or MRI lie down.*Standing adds varus/s],
  ['loading.0.medialShare', /size of the medial force is less correlated/],
  ['angles.arithmeticHkaDeg', /1\.3° beyond 8° of deformity/],
  ['sites.0.totalMm', /2 mm is an assumption; 2\.5 mm.*1\.5 to 5 mm/],
  ['limits.0.value', /consensus, not proven thresholds; the order of corrections is our reading/],
  ['angles.slopeMedialDeg', /reference axis by about 3°/],
  ['angles.posteriorCondylarDeg', /up to 1\.8°/],
  ['loading.0.bearing.medial.peakMpa', /ν changes the stiffness.*Above yield.*indicative only/s],
  ['loading.0.interfacePeakMpa', /up to 100 times.*there is no pass line/],
  ['volumes.femurRemovedMm3', /surface area × 0\.5 mm/],
]

describe('explanations', () => {
  it('say each controversy of the trade beside the number that it touches', () => {
    for (const [path, words] of controversies) {
      const { leavesOut, caution } = explain(path)!
      expect(`${leavesOut} ${caution}`, path).toMatch(words)
    }
  })

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
