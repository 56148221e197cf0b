import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { StanceFindings } from '../../src/findings.ts'
import type { StanceDrawing } from '../../src/stance/drawing.ts'
import { barGeometry } from '../../src/workbench/floor-strip/bar-geometry.ts'
import { tiltWords } from '../../src/workbench/floor-strip/tilt-words.ts'
import { expectNear } from '../near.ts'

/** A tray 70 mm wide about its knee, medial side down by `deg`. */
function drawing(side: 'left' | 'right', deg: number): StanceDrawing {
  const s = side === 'right' ? 1 : -1
  const [dx, dy] = [35 * Math.cos((deg * Math.PI) / 180), 35 * Math.sin((deg * Math.PI) / 180)]
  const knee = 70 * s
  return {
    tray: { medial: [knee - s * dx, 450 - dy], lateral: [knee + s * dx, 450 + dy], coronalDeg: deg },
  } as unknown as StanceDrawing
}

test('the bar dips on the medial side when the tilt is positive, for left and right legs', () => {
  fc.assert(
    fc.property(
      fc.constantFrom('left' as const, 'right' as const),
      fc.double({ min: -20, max: 20, noNaN: true }),
      (side, deg) => {
        const bar = barGeometry(drawing(side, deg))
        expect(bar.medialAt).toBe(side === 'right' ? 1 : -1)
        // Clockwise on screen lowers the right-hand end.
        expectNear(bar.turnDeg * bar.medialAt, deg * bar.exaggeration, {
          absDeg: 1e-9,
          because: 'the same angle, turned by rounding only',
        })
        expect(Math.abs(bar.turnDeg)).toBeLessThanOrEqual(Math.max(16, Math.abs(deg)) + 1e-9)
      },
    ),
  )
})

test('the bubble rises to the higher end and rests between the marks when the tray is level', () => {
  expect(barGeometry(drawing('right', 0)).bubble).toBeCloseTo(0, 12)
  expect(barGeometry(drawing('right', 3)).bubble).toBeLessThan(0)
  expect(barGeometry(drawing('left', 3)).bubble).toBeGreaterThan(0)
  expectNear(Math.abs(barGeometry(drawing('left', 1)).bubble), 1 / 6, { abs: 1e-9, because: 'one degree is one mark' })
  expect(barGeometry(drawing('right', 15)).bubble).toBe(-1)
})

test('level always names its plane', () => {
  const stance = (coronal: number, sagittal: number) =>
    tiltWords({ trayToFloorCoronalDeg: coronal, trayToFloorSagittalDeg: sagittal } as StanceFindings)
  expect(stance(0, 6.5)).toBe('level side to side; slope leaves 6.5°, posterior side down')
  expect(stance(-2, 0)).toBe('to the floor, lateral side down; level front to back too')
})
