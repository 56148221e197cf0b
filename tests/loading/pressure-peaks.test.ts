import { expect, test } from 'vitest'
import { pressurePeaks, scaleTopMpa } from '../../src/loading/pressure-peaks.ts'

const tray = { centre: [0, 0, 0], medial: [-1, 0, 0], posterior: [0, -1, 0] } as const
const pressures = {
  cellMm: 2,
  columns: 21,
  rows: 11,
  low: [-20, -10],
  pressureMpa: Float64Array.from({ length: 231 }, (_, k) =>
    k === 5 * 21 + 3 ? 12 : k === 4 * 21 + 17 ? 20.2 : k === 0 ? -1 : 0,
  ),
} as const

test('the peaks stand on either side of the tray’s middle, at their places', () => {
  expect(pressurePeaks(pressures, tray)).toEqual([
    { mpa: 12, at: [-14, 0, 0], side: 'medial' },
    { mpa: 20.2, at: [14, -2, 0], side: 'lateral' },
  ])
  const lifted = { ...pressures, pressureMpa: pressures.pressureMpa.map((mpa) => (mpa === 12 ? 0 : mpa)) }
  expect(pressurePeaks(lifted, tray).map(({ side }) => side)).toEqual(['lateral'])
})

test('one scale holds all maps that stand side by side, and is never empty', () => {
  const low = { ...pressures, pressureMpa: pressures.pressureMpa.map((mpa) => mpa / 100) }
  expect(scaleTopMpa([low, pressures])).toBe(21)
  expect(scaleTopMpa([low])).toBe(1)
  expect(scaleTopMpa([])).toBe(1)
})
