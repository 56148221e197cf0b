import { expect, test } from 'vitest'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { outline, type Point2 } from '../../src/geometry/outline.ts'
import { expectNear } from '../near.ts'

const front = { u: [1, 0, 0], v: [0, 1, 0], offset: [0, 0] } as const

function box(x: number, y: number, z: number, at: readonly [number, number] = [0, 0]): Mesh {
  const corners = [0, 1].flatMap((k) => [0, 1].flatMap((j) => [0, 1].map((i) => [at[0] + i * x, at[1] + j * y, k * z])))
  const quads = [
    [0, 2, 3, 1],
    [4, 5, 7, 6],
    [0, 1, 5, 4],
    [2, 6, 7, 3],
    [0, 4, 6, 2],
    [1, 3, 7, 5],
  ]
  return {
    positions: new Float64Array(corners.flat()),
    triangles: new Uint32Array(quads.flatMap(([a, b, c, d]) => [a!, b!, c!, a!, c!, d!])),
  }
}

function joined(a: Mesh, b: Mesh): Mesh {
  const shift = a.positions.length / 3
  return {
    positions: new Float64Array([...a.positions, ...b.positions]),
    triangles: new Uint32Array([...a.triangles, ...b.triangles.map((v) => v + shift)]),
  }
}

/** Signed area: counter-clockwise positive. */
const area = (loop: readonly Point2[]): number =>
  loop.reduce((sum, p, k) => {
    const q = loop[(k + 1) % loop.length]!
    return sum + (p[0] * q[1] - q[0] * p[1]) / 2
  }, 0)

test('the shadow of a box is one counter-clockwise rectangle of its size', () => {
  const loops = outline(box(40, 20, 7), front, 0.25)
  expect(loops.length).toBe(1)
  expectNear(area(loops[0]!), 800, { rel: 0.02, because: 'half a cell along a border of 120 mm is 15 mm²' })
})

test('the shadow of a frame of four bars has a clockwise hole', () => {
  const frame = [box(40, 5, 5), box(40, 5, 5, [0, 25]), box(5, 30, 5), box(5, 30, 5, [35, 0])].reduce(joined)
  const areas = outline(frame, front, 0.25)
    .map(area)
    .sort((a, b) => a - b)
  expect(areas.length).toBe(2)
  expectNear(areas[0]!, -(30 * 20), {
    rel: 0.025,
    because: 'half a cell along a border of 100 mm is 12.5 mm², smoothing rounds the corners',
  })
  expectNear(areas[1]!, 40 * 30, { rel: 0.02, because: 'half a cell along a border of 140 mm' })
})

test('the outline lies within one cell of the true edge, wherever the view puts it', () => {
  const half = Math.SQRT1_2
  const turned = { u: [half, 0, half], v: [0, 1, 0], offset: [100, -50] } as const
  const [loop] = outline(box(40, 20, 10), turned, 0.5)
  const us = loop!.map((p) => p[0])
  const vs = loop!.map((p) => p[1])
  const because = 'one cell'
  expectNear(Math.max(...us), 100 + 50 * half, { absMm: 0.5, because })
  expectNear(Math.min(...us), 100, { absMm: 0.5, because })
  expectNear(Math.max(...vs), -30, { absMm: 0.5, because })
  expectNear(Math.min(...vs), -50, { absMm: 0.5, because })
})

test('a mesh without triangles has no outline', () => {
  expect(outline({ positions: new Float64Array(), triangles: new Uint32Array() }, front, 1)).toEqual([])
})
