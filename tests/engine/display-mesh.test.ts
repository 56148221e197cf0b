import { expect, test } from 'vitest'
import { displayMesh } from '../../src/engine/display-mesh.ts'
import { lightMesh, mostDisplayTriangles } from '../../src/engine/light-mesh.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { expectNear } from '../near.ts'

/** A sphere as an octahedron split `depth` times, far from the origin as CT coordinates are. */
function sphere(depth: number, radius = 30, at: readonly [number, number, number] = [300, -200, 900]): Mesh {
  let points = [
    [1, 0, 0],
    [-1, 0, 0],
    [0, 1, 0],
    [0, -1, 0],
    [0, 0, 1],
    [0, 0, -1],
  ]
  let faces = [
    [0, 2, 4],
    [2, 1, 4],
    [1, 3, 4],
    [3, 0, 4],
    [2, 0, 5],
    [1, 2, 5],
    [3, 1, 5],
    [0, 3, 5],
  ]
  for (let level = 0; level < depth; level++) {
    const middles = new Map<string, number>()
    const next = [...points]
    const middle = (a: number, b: number): number => {
      const key = a < b ? `${a},${b}` : `${b},${a}`
      const known = middles.get(key)
      if (known !== undefined) return known
      const sum = [0, 1, 2].map((k) => points[a]![k]! + points[b]![k]!)
      const length = Math.hypot(...sum)
      next.push(sum.map((v) => v / length))
      middles.set(key, next.length - 1)
      return next.length - 1
    }
    faces = faces.flatMap(([a, b, c]) => {
      const [ab, bc, ca] = [middle(a!, b!), middle(b!, c!), middle(c!, a!)]
      return [
        [a!, ab, ca],
        [ab, b!, bc],
        [ca, bc, c!],
        [ab, bc, ca],
      ]
    })
    points = next
  }
  return {
    positions: Float64Array.from(points.flatMap((p) => p.map((v, k) => v * radius + at[k]!))),
    triangles: Uint32Array.from(faces.flat()),
  }
}

const cube: Mesh = {
  positions: Float64Array.from([0, 1].flatMap((z) => [0, 1].flatMap((y) => [0, 1].flatMap((x) => [x, y, z])))),
  triangles: Uint32Array.from([
    0, 2, 3, 0, 3, 1, 4, 5, 7, 4, 7, 6, 0, 1, 5, 0, 5, 4, 2, 6, 7, 2, 7, 3, 0, 4, 6, 0, 6, 2, 1, 3, 7, 1, 7, 5,
  ]),
}

test('normals of a round surface are smooth: at each corner they point away from the centre', () => {
  const { positions, normals } = displayMesh(sphere(4))
  let worst = 1
  for (let i = 0; i < positions.length; i += 3) {
    const radius = Math.hypot(positions[i]!, positions[i + 1]!, positions[i + 2]!)
    const along =
      (positions[i]! * normals[i]! + positions[i + 1]! * normals[i + 1]! + positions[i + 2]! * normals[i + 2]!) / radius
    worst = Math.min(worst, along)
  }
  expectNear(worst, 1, { abs: 2e-3, because: 'area weights of uneven triangles turn a normal by up to 3°' })
})

test('normals of a saw cut are sharp: each corner of a cube keeps the normal of its own face', () => {
  const { normals } = displayMesh(cube)
  for (let i = 0; i < normals.length; i += 3) {
    const largest = Math.max(...[0, 1, 2].map((k) => Math.abs(normals[i + k]!)))
    expectNear(largest, 1, { abs: 1e-6, because: 'single precision' })
  }
})

test('faces on the cut come last and are counted', () => {
  const bottom = (mesh: Mesh) => (t: number) =>
    [0, 1, 2].every((k) => mesh.positions[3 * mesh.triangles[3 * t + k]! + 2] === 0)
  const display = displayMesh(cube, { onCut: bottom(cube) })
  expect(display.cutFromCorner).toBe(30)
  const heights = Array.from({ length: 36 }, (_, corner) => display.positions[3 * corner + 2]! + display.origin[2])
  expect(heights.slice(30).every((z) => z === 0)).toBe(true)
  expect(heights.slice(0, 30).some((z) => z !== 0)).toBe(true)
})

test('a small mesh is drawn as it is, a large one as a copy that is light and lies on the surface', () => {
  expect(lightMesh(sphere(3)).positions.length).toBe(9 * 512)
  const full = sphere(8)
  expect(full.triangles.length / 3).toBe(524_288)
  const light = lightMesh(full)
  const drawn = light.positions.length / 9
  expect(drawn).toBeLessThanOrEqual(mostDisplayTriangles)
  expect(drawn).toBeGreaterThan(mostDisplayTriangles / 4)
  expect(light.ofTriangles).toBe(524_288)
  let worst = 0
  for (let i = 0; i < light.positions.length; i += 3)
    worst = Math.max(
      worst,
      Math.abs(Math.hypot(light.positions[i]!, light.positions[i + 1]!, light.positions[i + 2]!) - 30),
    )
  expect(worst).toBeLessThan(0.05)
})
