import { describe, expect, it } from 'vitest'
import { interfaceMap } from '../../src/loading/interface-map.ts'
import { interfacePressure } from '../../src/loading/interface-pressure.ts'
import type { Loop } from '../../src/loading/polygon-moments.ts'
import { nowhere } from '../../src/loading/pressure-map.ts'
import { commonStrips } from '../../src/loading/strips.ts'
import { expectNear, expectOk } from '../near.ts'

const rectangle: Loop = [
  [-13, -24],
  [13, -24],
  [13, 24],
  [-13, 24],
]
const base = commonStrips([rectangle], [rectangle])

/** Force and both first moments of the mapped cells. */
function summed(map: ReturnType<typeof interfaceMap>) {
  let [force, x, y, cells] = [0, 0, 0, 0]
  for (let row = 0; row < map.rows; row++)
    for (let column = 0; column < map.columns; column++) {
      const p = map.pressureMpa[row * map.columns + column]!
      if (p === nowhere) continue
      const cell = p * map.cellMm ** 2
      force += cell
      x += cell * (map.low[0] + column * map.cellMm)
      y += cell * (map.low[1] + row * map.cellMm)
      cells++
    }
  return { force, x: x / force, y: y / force, areaMm2: cells * map.cellMm ** 2 }
}

describe('the map of pressure under the tray', () => {
  it('carries the applied force where it is applied, lifted off or not', () => {
    for (const [ex, ey] of [
      [0, 0],
      [3, 0],
      [9, 0],
      [-6, 11],
    ] as const) {
      const map = interfaceMap(base, expectOk(interfacePressure(base, 1500, [ex, ey])), 0.5)
      const { force, x, y, areaMm2 } = summed(map)
      expectNear(areaMm2, 26 * 48, { abs: 1e-9, because: 'whole cells fill the rectangle' })
      expectNear(force, 1500, {
        abs: 7.5,
        because: 'midpoint rule on 0.5 mm cells: half a percent along the line of lift-off',
      })
      expectNear(x, ex, { absMm: 0.1, because: 'the same rule' })
      expectNear(y, ey, { absMm: 0.1, because: 'the same rule' })
    }
  })

  it('shows what lifts off as 0 and what lies beside the base as nowhere', () => {
    // Check values §8: e 9 of B 26 leaves 12 mm in contact.
    const map = interfaceMap(base, expectOk(interfacePressure(base, 1500, [9, 0])), 0.5)
    const pressing = map.pressureMpa.filter((p) => p > 0).length
    expectNear(pressing * 0.25, 12 * 48, { abs: 48 * 0.5, because: 'one column of cells' })
    expect(map.pressureMpa.filter((p) => p === 0)).toHaveLength(map.pressureMpa.length - pressing)
    const triangle: Loop = [
      [0, 0],
      [20, 0],
      [0, 20],
    ]
    const half = interfaceMap([triangle], { a: 1, b: 0, c: 0 }, 0.5)
    expectNear(half.pressureMpa.filter((p) => p === nowhere).length * 0.25, 200, {
      abs: 10,
      because: 'half of the square, less the steps',
    })
    expect(interfaceMap([], { a: 1, b: 0, c: 0 }, 0.5).pressureMpa).toHaveLength(0)
  })
})
