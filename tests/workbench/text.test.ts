import fc from 'fast-check'
import { expect, test } from 'vitest'
import { explanations } from '../../src/report/explanations.ts'
import { explainedDrawings } from '../../src/workbench/help/explained-drawings.ts'
import {
  fieldUnit,
  formatCount,
  formatNumber,
  formatQuantity,
  formatSigned,
  parseNumber,
} from '../../src/workbench/text/format.ts'

test('numbers are shown to a tenth with a true minus, and never as minus zero', () => {
  expect(formatNumber(-3.25)).toBe('−3.3')
  expect(formatNumber(-0.04)).toBe('0.0')
  expect(formatSigned(0.04)).toBe('0.0')
  expect(formatSigned(2)).toBe('+2.0')
  expect(formatQuantity(-0.04, 'deg')).toBe('0.0°')
  expect(formatQuantity(24_149, 'cm3')).toBe('24.1 cm³')
  expect(formatCount(1_234_567)).toBe('1\u2009234\u2009567')
  expect(fieldUnit('mm')).toBe('mm')
  expect(fieldUnit('deg')).toBe('°')
  expect(fieldUnit('ratio')).toBe('')
})

test('what is typed may have a comma, a true minus or a unit; anything else is no number', () => {
  expect(parseNumber(' 3,5 mm')).toBe(3.5)
  expect(parseNumber('−2°')).toBe(-2)
  expect(parseNumber('.5')).toBe(0.5)
  for (const text of ['', 'steep', '1.2.3', '1e3x2', '--1', 'NaN', 'Infinity'])
    expect(parseNumber(text), text).toBe(null)
})

test('what is shown can be typed back, for every number', () => {
  fc.assert(
    fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (value) => {
      const back = parseNumber(formatNumber(value, 3))
      expect(back).not.toBe(null)
      expect(Math.abs(back! - value)).toBeLessThanOrEqual(0.000501)
    }),
  )
})

test('every explanation has a drawing of its own name', () => {
  for (const { title } of explanations) expect(Object.hasOwn(explainedDrawings, title), title).toBe(true)
})
