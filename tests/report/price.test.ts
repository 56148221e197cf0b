import { describe, expect, it } from 'vitest'
import { assess } from '../../src/assess.ts'
import { newCase } from '../../src/casefile/document.ts'
import { setAssignment } from '../../src/casefile/set-path.ts'
import { findingsText } from '../../src/cli/findings-text.ts'
import { reportHtml } from '../../src/report/html.ts'
import { shown } from '../../src/report/numbers.ts'
import { priceGroups, restrictedAnswers, sizeWords } from '../../src/report/price.ts'
import { bp3d } from '../assess/shared-bones.ts'
import { expectOk } from '../near.ts'

const bones = bp3d()
const findingsOf = (...assignments: string[]) =>
  expectOk(
    assess(
      assignments.reduce((document, text) => expectOk(setAssignment(document, text)), newCase),
      bones,
    ),
  )
const told = (findings: ReturnType<typeof findingsOf>) => [
  findingsText(findings).replace(/\s+/g, ' '),
  reportHtml({ findings, drawing: null, alternatives: null, caseName: 'A', notes: '' }),
]

describe('what a plan changes and costs', () => {
  const total = findingsOf('cuts.departures.femur-anterior.deeperMm=1')
  const partial = findingsOf('procedure=medial-partial')

  it('stands in command line and report alike, number by number', () => {
    for (const findings of [total, partial])
      for (const group of priceGroups.filter((g) => g.applies(findings)))
        for (const text of told(findings))
          for (const row of group.rows) {
            expect(text, row.label).toContain(row.label)
            const value = row.read(findings)
            if (value !== null) expect(text, row.label).toContain(shown(value, row.quantity, !row.plain))
          }
    expect(total.consequences.patellofemoral).not.toBeNull()
    expect(partial.conversion?.tibialBoneLeftMm3).toBeGreaterThan(0)
  })

  it('names the runner-up beside a proposed size', () => {
    expect(sizeWords(total, 'femur')).toBe(
      `${total.implants.femurSize} (proposed; runner-up ${total.implants.femurRunnerUp})`,
    )
    for (const text of told(total)) expect(text).toContain(sizeWords(total, 'tibia'))
    expect(sizeWords(findingsOf('implants.femurSize=4'), 'femur')).toBe('4 (chosen)')
  })

  it('tells a cut that leaves the component, and nothing of the kind where none does', () => {
    for (const text of told(total)) expect(text).toMatch(/1\.0 mm deeper.*1\.0.*0\.0/)
    for (const text of told(partial)) expect(text).not.toMatch(/deeper, |mm deeper/)
  })

  it('lays both answers of the restricted recipe side by side, each step with its cost', () => {
    const held = findingsOf('recipe=restricted', 'limits.limbDeg=0', 'limits.jointLineLowDeg=88')
    expect(restrictedAnswers(held).map(({ name }) => name)).toEqual(['Rule-of-thumb order', 'Smallest correction'])
    for (const text of told(held)) {
      expect(text).toContain('Rule-of-thumb order')
      expect(text).toContain('Smallest correction')
      expect(text).toMatch(/(femur|tibia) [+−]\d+\.\d° for/)
      expect(text).toMatch(/gaps: /)
    }
    expect(restrictedAnswers(total)).toEqual([])
  })
})
