import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { TibiaAnatomy } from '../../src/anatomy/terms.ts'
import { identityRigid } from '../../src/geometry/rigid.ts'
import { add, cross, dot, scale, sub, toRad, unit, type Vec3 } from '../../src/geometry/vec.ts'
import type { PlannedCut } from '../../src/planning/planned.ts'
import { cutSheet } from '../../src/workbench/scene/cut-sheet.ts'
import { edgeLetters } from '../../src/workbench/scene/edge-letters.ts'
import { along, turn } from '../../src/workbench/scene/handle-drag.ts'
import type { Placement } from '../../src/workbench/scene/placement.ts'
import { scaleBar } from '../../src/workbench/scene/scale-bar.ts'
import { expectNear } from '../near.ts'

const coordinate = fc.double({ min: -50, max: 50, noNaN: true })
const vec = fc.tuple(coordinate, coordinate, coordinate)
const direction = vec.filter((v) => Math.hypot(...v) > 1).map((v) => unit(v))

test('a ray through a point of the line is that far along it', () => {
  fc.assert(
    fc.property(vec, direction, direction, coordinate, (point, line, look, mm) => {
      fc.pre(Math.abs(dot(line, look)) < 0.95)
      const aimed: Vec3 = add(point, scale(line, mm))
      const ray = { origin: sub(aimed, scale(look, 300)), direction: look }
      expectNear(along(ray, point, line)!, mm, { absMm: 1e-6, because: 'rounding of a ray that starts 300 mm away' })
    }),
  )
})

test('looking straight along a line says nothing about how far along it one points', () => {
  expect(along({ origin: [0, 0, 0], direction: [0, 1, 0] }, [1, 0, 0], [0, 1, 0])).toBe(null)
})

test('a pointer on the handle’s tangent gives the angle whose tangent it is', () => {
  const ray = { origin: [60, 60 * Math.tan(toRad(7)), 500] as Vec3, direction: [0, 0, -1] as Vec3 }
  expectNear(turn(ray, [0, 0, 0], [1, 0, 0], [0, 1, 0], 60)!, 7, { absDeg: 1e-9, because: 'rounding' })
})

const tibia = { frame: { origin: [0, 0, 0], x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] } } as unknown as TibiaAnatomy

/** The tibial cut of the conventions: n ∝ (−tan slope, 1, −s·tan varus), turned into the kept bone. */
function tibialCut(side: 'left' | 'right', varusDeg: number, slopeDeg: number): PlannedCut {
  const s = side === 'right' ? 1 : -1
  const n = unit([-Math.tan(toRad(slopeDeg)), 1, -s * Math.tan(toRad(varusDeg))])
  return { id: 'tibia', bone: 'tibia', point: [0, -8, 0], normal: scale(n, -1) } as unknown as PlannedCut
}

test('each handle is pulled the way its number grows, on both sides of the body', () => {
  for (const side of ['left', 'right'] as const) {
    const sheetOf = (varus: number, slope: number) =>
      cutSheet({
        cut: tibialCut(side, varus, slope),
        side,
        procedure: 'total',
        anatomy: tibia,
        sceneFromBone: identityRigid,
      })!
    const flat = sheetOf(0, 0)
    for (const [step, tilted] of [
      ['tibia varus', sheetOf(4, 0)],
      ['tibia slope', sheetOf(0, 4)],
    ] as const) {
      const handle = flat.handles.find((h) => h.field.step === step)!
      const armAfter = tilted.handles.find((h) => h.field.step === step)!.arm
      // Where the handle goes when the number grows is the way it is pulled.
      expect(dot(sub(armAfter, handle.arm), handle.grows), `${side} ${step}`).toBeGreaterThan(0.05)
    }
    const depth = flat.handles.find((h) => h.kind === 'depth')!
    expect(dot(depth.grows, [0, -1, 0]), 'deeper is down into the tibia').toBeCloseTo(1, 12)
  }
})

test('the sheet’s axes are square to its normal', () => {
  const { u, v, normal } = cutSheet({
    cut: tibialCut('right', 5, 7),
    side: 'right',
    procedure: 'total',
    anatomy: tibia,
    sceneFromBone: identityRigid,
  })!
  for (const axis of [u, v]) expectNear(dot(axis, normal), 0, { abs: 1e-12, because: 'rounding' })
  expect(Math.abs(dot(cross(u, v), normal))).toBeGreaterThan(0.99)
})

const placement: Placement = { sceneFromFemur: identityRigid, sceneFromTibia: identityRigid, frame: 'tibia' }

test('letters stand at the edges only when the frame is declared, and two where the view is oblique', () => {
  const readout = { mmPerPixel: 1, right: [1, 0, 0], up: [0, 0, 1], orthographic: true, coveredRightPx: 0 } as const
  expect(edgeLetters('unknown', placement, readout)).toBe(null)
  expect(edgeLetters('lps', { ...placement, frame: 'stance' }, readout)).toBe(null)
  expect(edgeLetters('lps', placement, readout)).toEqual({ top: 'S', bottom: 'I', left: 'R', right: 'L' })
  expect(edgeLetters('ras', placement, readout)).toEqual({ top: 'S', bottom: 'I', left: 'L', right: 'R' })
  const oblique = { ...readout, right: unit([1, 0.6, 0]) }
  expect(edgeLetters('lps', placement, oblique)?.right).toBe('LP')
})

test('the scale bar is a round length that fits', () => {
  expect(scaleBar(0.4)).toEqual({ mm: 50, pixels: 125 })
  expect(scaleBar(2)).toEqual({ mm: 200, pixels: 100 })
})
