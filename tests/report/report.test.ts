import { describe, expect, it } from 'vitest'
import packageJson from '../../package.json' with { type: 'json' }
import { assess } from '../../src/assess.ts'
import { newCase } from '../../src/casefile/document.ts'
import { programVersion } from '../../src/casefile/program.ts'
import { csvText, sitesCsv } from '../../src/report/csv.ts'
import { type CsvFormatName, csvFormats } from '../../src/report/csv-format.ts'
import { reportHtml } from '../../src/report/html.ts'
import { exported, shown, shownWithUnit } from '../../src/report/numbers.ts'
import { spoiling } from '../../src/report/spoiled.ts'
import { bp3d } from '../assess/shared-bones.ts'
import { expectOk } from '../near.ts'

describe('numbers in words', () => {
  it('are rounded to a tenth, with a true minus sign and never a minus zero', () => {
    expect(shown(-0.04, 'mm')).toBe('0.0')
    expect(shown(-1.25, 'deg')).toBe('−1.3')
    expect(shown(2, 'deg', true)).toBe('+2.0')
    expect(shownWithUnit(12345, 'cm3')).toBe('12.3 cm³')
    expect(shown(null, 'mm')).toBe('–')
  })

  it('are exported with six significant digits and a point', () => {
    expect([1234.56789, -1e-15, 0.1 + 0.2, 1e-7, null].map(exported)).toEqual(['1234.57', '0', '0.3', '1e-7', ''])
  })
})

describe('a CSV', () => {
  it('quotes what needs it, disarms formulas, and ends every line with LF', () => {
    expect(
      csvText(
        ['head\nline'],
        ['a', 'b'],
        [
          ['x,"y"', 1.5],
          ['=1+1', null],
        ],
      )
        .split('\n')
        .slice(2),
    ).toEqual(['# head line', 'a,b', '"x,""y""",1.5', "'=1+1,", ''])
  })
})

describe('a CSV in another format', () => {
  const written = (name: CsvFormatName) =>
    csvText([], ['a', 'b'], [['x;y', -1.5]], csvFormats[name])
      .split('\n')
      .slice(2)

  it('parts fields by what was chosen, quotes what holds it, and has decimal commas only beside semicolons', () => {
    expect(written('comma')).toEqual(['a,b', 'x;y,-1.5', ''])
    expect(written('semicolon')).toEqual(['a;b', '"x;y";-1.5', ''])
    expect(written('tab')).toEqual(['a\tb', 'x;y\t-1.5', ''])
    expect(written('semicolon-decimal-comma')).toEqual(['a;b', '"x;y";-1,5', ''])
  })
})

describe('what a warning spoils', () => {
  it('covers everything below its path, any list place for *, and list places left out', () => {
    const warning = (...spoils: string[]) => [{ code: 'x', message: '', spoils }]
    expect(spoiling(warning('stance'), 'stance.2.tibiaLeanDeg')).toHaveLength(1)
    expect(spoiling(warning('stance.*.tibiaLeanDeg'), 'stance.2.tibiaLeanDeg')).toHaveLength(1)
    expect(spoiling(warning('loading.bearing'), 'loading.0.bearing.medial.peakMpa')).toHaveLength(1)
    expect(spoiling(warning('stance.*.tibiaLeanDeg'), 'stance.2.legLeanDeg')).toHaveLength(0)
    expect(spoiling(warning('angles.hkaDeg'), 'angles')).toHaveLength(0)
    expect(spoiling(warning('angles.hkaDeg'), 'angles.hka')).toHaveLength(0)
  })
})

describe('the report', () => {
  const findings = expectOk(assess(newCase, bp3d()))

  it('renders hostile names inert', () => {
    const evil = '<img src=x onerror=alert(1)>"&\''
    const html = reportHtml({ findings, drawing: null, alternatives: null, caseName: evil, notes: evil })
    expect(html).not.toContain('<img')
    expect(html).toContain('&lt;img src=x onerror=alert(1)&gt;&quot;&amp;&#39;')
  })

  it('carries side, caution, tables, what is not judged, and hatches what a warning spoils', () => {
    const spoiled = {
      ...findings,
      warnings: [{ code: 'x', message: 'because of the test', spoils: ['sites.tibia-medial.totalMm'] }],
    }
    const html = reportHtml({ findings: spoiled, drawing: null, alternatives: null, caseName: 'Knee', notes: '' })
    for (const words of ['RIGHT', 'not a medical device', 'Piece measured', 'Not judged', 'patella', 'Assumptions'])
      expect(html).toContain(words)
    expect(html.match(/class="number spoiled"/g)).toHaveLength(1)
    expect(html).toContain('title="because of the test"')
  })

  it('gives equal bytes for equal findings', () => {
    const again = expectOk(assess(newCase, bp3d()))
    const input = { drawing: null, alternatives: null, caseName: 'Knee', notes: '' }
    expect(reportHtml({ ...input, findings: again })).toBe(reportHtml({ ...input, findings }))
    expect(sitesCsv(again)).toBe(sitesCsv(findings))
  })

  it('is of the version that the package has', () => {
    expect(programVersion).toBe(packageJson.version)
  })
})
