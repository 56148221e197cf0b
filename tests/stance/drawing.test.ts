import { describe, expect, it } from 'vitest'
import { type Side, sideFactor } from '../../src/anatomy/terms.ts'
import { newCase } from '../../src/casefile/document.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { mapPoint, type Rigid } from '../../src/geometry/rigid.ts'
import { mapMesh } from '../../src/geometry/transform.ts'
import { toDeg } from '../../src/geometry/vec.ts'
import { stanceSvg } from '../../src/report/stance-svg.ts'
import { type FrontalPoint, stanceDrawing } from '../../src/stance/drawing.ts'
import { standEveryPose } from '../../src/stance/stand.ts'
import { expectNear, expectOk } from '../near.ts'
import { knee, turnedFile } from './anatomy-fixture.ts'

/** A closed box between two heights, 40 mm deep and 60 mm wide, in a bone's own frame. */
function box(low: number, high: number): Mesh {
  const corners = [0, 1, 2, 3, 4, 5, 6, 7].flatMap((k) => [k & 1 ? 20 : -20, k & 2 ? high : low, k & 4 ? 30 : -30])
  const quads = [
    [0, 4, 6, 2],
    [1, 3, 7, 5],
    [0, 1, 5, 4],
    [2, 6, 7, 3],
    [0, 2, 3, 1],
    [4, 5, 7, 6],
  ]
  return {
    positions: new Float64Array(corners),
    triangles: new Uint32Array(quads.flatMap(([a, b, c, d]) => [a!, b!, c!, a!, c!, d!])),
  }
}

function drawn(side: Side, cutMptaDeg: number) {
  const files: { femurFile: Rigid; tibiaFile: Rigid } = {
    femurFile: turnedFile(50, [100, 200, 300]),
    tibiaFile: turnedFile(-20, [-40, 0, 9]),
  }
  const made = knee({
    side,
    ldfaDeg: 87,
    mptaDeg: 87,
    hkaDeg: null,
    cutMptaDeg,
    cutLdfaDeg: 87,
    cutSlopeDeg: 3,
    ...files,
  })
  const { poses } = expectOk(standEveryPose({ side, ...made, choices: newCase.stance }))
  const standing = poses[0]!
  const drawing = stanceDrawing({
    standing,
    side,
    femur: made.femur,
    tibia: made.tibia,
    femurMesh: mapMesh(box(-20, 440), files.femurFile),
    tibiaMesh: mapMesh(box(-380, -8), files.tibiaFile),
    tray: made.plan.tray,
  })
  return { standing, drawing, made }
}

describe('the drawing of the standing leg', () => {
  for (const side of ['right', 'left'] as const)
    for (const cut of [82, 87, 93]) {
      it(`draws the ${side} tray of MPTA ${cut} with the sign and size of its coronal tilt`, () => {
        const { standing, drawing } = drawn(side, cut)
        const { medial, lateral } = drawing.tray
        const down = lateral[1] - medial[1]
        const across = Math.abs(lateral[0] - medial[0])
        expectNear(toDeg(Math.atan2(down, across)), standing.trayToFloorCoronalDeg, {
          absDeg: 0.02,
          because: 'seen from the front a tray turned by its slope is a little shorter',
        })
        expect(Math.sign(down)).toBe(Math.sign(standing.trayToFloorCoronalDeg))
        expect(sideFactor(side) * (lateral[0] - medial[0]), 'lateral end outward').toBeGreaterThan(0)
      })
    }

  it('puts the leg on its side of the mid-line, the other leg as its mirror image, the ankle above the floor', () => {
    const { drawing } = drawn('left', 87)
    const [own, other] = drawing.legs
    expect(own!.ankle[0]).toBeLessThan(0)
    expect(other!.mirrored).toBe(true)
    expectNear(other!.hip[0], -own!.hip[0], { absMm: 1e-12, because: 'mirror image' })
    expectNear(own!.ankle[1], 75, { absMm: 1e-9, because: 'assumed height of the ankle' })
    expect(drawing.plumb[1]).toEqual([own!.hip[0], 0])
  })

  it('outlines the posed mesh: every projected vertex lies within the outline’s box, and the box is no larger', () => {
    const { standing, drawing } = drawn('right', 87)
    const mesh = mapMesh(box(-380, -8), turnedFile(-20, [-40, 0, 9]))
    const seen: FrontalPoint[] = []
    for (let i = 0; i < mesh.positions.length; i += 3) {
      const p = mapPoint(standing.stanceFromTibia, [mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!])
      seen.push([p[2], p[1]])
    }
    const loop = drawing.legs[0]!.tibia.flat()
    for (const axis of [0, 1] as const) {
      const of = (points: readonly FrontalPoint[]) => points.map((p) => p[axis])
      const because = { absMm: 2.5, because: 'cells of 1.5 mm, smoothed corners, direction rounded to 3°' }
      expectNear(Math.min(...of(loop)), Math.min(...of(seen)), because)
      expectNear(Math.max(...of(loop)), Math.max(...of(seen)), because)
    }
  })

  it('becomes an SVG without a number that is none, the right leg on the viewer’s left', () => {
    const svg = stanceSvg(drawn('right', 84).drawing)
    expect(svg).not.toMatch(/NaN|Infinity|undefined/)
    expect(svg).toContain('medial side down')
    const floor = /class="floor" x1="(-?[\d.]+)"/.exec(svg)
    expect(Number(floor?.[1])).toBeLessThan(0)
    const plumb = /class="plumb" x1="(-?[\d.]+)"/.exec(svg)
    expect(Number(plumb?.[1])).toBeLessThan(0)
  })
})
