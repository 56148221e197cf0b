import { expect, test } from 'vitest'
import { displayMesh } from '../../src/engine/display-mesh.ts'
import type { Vec3 } from '../../src/geometry/vec.ts'
import { divergingColour, sequentialColour } from '../../src/workbench/charts/colour-map.ts'
import { cellAt, paintCorners, pressureColour, thicknessColour } from '../../src/workbench/scene/painted.ts'
import { box } from '../fixtures/shapes.ts'

// A wedge over the plane z = 0: 6 mm at x = 0, 0.1 mm thicker per mm of x, mapped from (0, 20) to (40, 0); no bone in its first column.
const wedge = {
  cut: 'tibia',
  columns: 40,
  rows: 20,
  stepMm: 1,
  corner: [0, 20, 0],
  alongRow: [1, 0, 0],
  alongColumn: [0, -1, 0],
  thicknessMm: Float32Array.from({ length: 800 }, (_, k) => (k % 40 === 0 ? -1 : 6 + 0.1 * ((k % 40) + 0.5))),
  differenceMm: Float32Array.from({ length: 800 }, (_, k) => 0.1 * ((k % 40) + 0.5) - 1.25),
  needed: [{ compartment: 'medial', neededMm: 7.25 }],
  extremes: [],
  minMm: 6.15,
  meanMm: 8.05,
  maxMm: 9.95,
} as const

test('a point of the piece belongs to the cell it lies over, at whatever height', () => {
  expect(cellAt(wedge, [12.3, 7.7, 0])).toBe(12 * 40 + 12)
  expect(cellAt(wedge, [12.3, 7.7, 9])).toBe(12 * 40 + 12)
  expect(cellAt(wedge, [0.5, 7.7, 0]), 'beside the map the nearest cell').toBe(12 * 40 + 1)
  expect(cellAt(wedge, [-6, 7.7, 0])).toBe(null)
})

test('colours say thicker and thinner than the component; no difference is white', () => {
  const colour = thicknessColour(wedge)
  expect(colour([12.3, 5, 0])).toEqual(divergingColour(0))
  const [thick, thin] = [colour([39.5, 5, 0])!, colour([1.5, 5, 0])!]
  expect(thick[0], 'thicker is warm').toBeGreaterThan(thick[2])
  expect(thin[2], 'thinner is cold').toBeGreaterThan(thin[0])
})

test('every corner of a drawn mesh is painted once, in light as it adds', () => {
  const display = displayMesh(box([0, 0, 0], [40, 20, 5]))
  const painted = paintCorners(display, [0, 0, 0], (point) => (point[0] > 20 ? [255, 128, 0] : null))
  expect(painted).toHaveLength(display.positions.length)
  // IEC 61966-2-1: 128 of 255 is 0.2159 of the light.
  expect(new Set([...painted].map((v) => v.toFixed(4)))).toEqual(new Set(['0.0000', '1.0000', '0.2159']))
})

const tray = { centre: [0, 0, 0], medial: [-1, 0, 0], posterior: [0, -1, 0], normal: [0, 0, 1] } as const
const pressures = {
  cellMm: 2,
  columns: 21,
  rows: 11,
  low: [-20, -10],
  pressureMpa: Float64Array.from({ length: 231 }, (_, k) => (k === 5 * 21 + 3 ? 12 : k === 4 * 21 + 17 ? 20 : 0)),
} as const

test('pressure is painted on what faces up, at its place over the tray; what carries nothing keeps its colour', () => {
  const up: Vec3 = [0, 0, 1]
  const colour = pressureColour(pressures, tray, 20)
  expect(colour([-14, 0, 11], up)).toEqual(sequentialColour(12 / 20))
  expect(colour([14, -2, 11], up)).toEqual(sequentialColour(1))
  expect(colour([14, -2, 11], [1, 0, 0])).toBe(null)
  expect(colour([0, 0, 11], up)).toBe(null)
  expect(colour([80, 0, 11], up)).toBe(null)
})
