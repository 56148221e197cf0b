import fc from 'fast-check'
import { expect, test } from 'vitest'
import { drawingInFull, lightDrawing } from '../../src/engine/light-drawing.ts'
import type { DrawnLeg, StanceDrawing } from '../../src/stance/drawing.ts'

const point = fc.tuple(fc.double({ noNaN: true }), fc.double({ noNaN: true }))
const loops = fc.array(fc.array(point, { maxLength: 6 }), { maxLength: 4 })
const leg = fc.record<DrawnLeg>({
  side: fc.constantFrom('left', 'right'),
  mirrored: fc.boolean(),
  femur: loops,
  tibia: loops,
  hip: point,
  knee: point,
  ankle: point,
})

test('a drawing comes back from its lists as it was, to the last bit, empty loops included', () => {
  fc.assert(
    fc.property(fc.array(leg, { maxLength: 2 }), (legs) => {
      const drawing: StanceDrawing = {
        pose: 'feet-together',
        side: 'right',
        legs,
        tray: { medial: [1, 2], lateral: [3, 4], coronalDeg: 5 },
        plumb: [
          [0, 1],
          [0, 0],
        ],
        loadLine: [
          [0, 1],
          [2, 3],
        ],
        kneeAxis: [
          [1, 1],
          [2, 2],
        ],
        other: null,
        boxMm: { low: [0, 0], high: [1, 1] },
      }
      expect(drawingInFull(structuredClone(lightDrawing(drawing)))).toEqual(drawing)
    }),
  )
})
