/** Spoiled copies of a mesh, for trying how far the finders hold: noise, holes, fewer triangles. Same seed, same copy. */
import type { Mesh } from '../src/geometry/mesh.ts'
import { seededNormal, seededRandom } from '../src/geometry/random.ts'

/** Every vertex moved along its normal by a normal deviate of `sigmaMm`, smoothed over its neighbours as segmentation noise is. */
export function noisy(mesh: Mesh, sigmaMm: number, seed: number): Mesh {
  const { positions, triangles } = mesh
  const n = positions.length / 3
  const normal = seededNormal(seededRandom(seed))
  const raw = Float64Array.from({ length: n }, normal)
  const sum = raw.slice()
  const count = new Uint16Array(n).fill(1)
  for (let i = 0; i < triangles.length; i++) {
    const a = triangles[i]!
    const b = triangles[i % 3 === 2 ? i - 2 : i + 1]!
    sum[a] = sum[a]! + raw[b]!
    count[a] = count[a]! + 1
  }
  const smoothed = sum.map((s, v) => s / count[v]!)
  const rms = Math.sqrt(smoothed.reduce((t, v) => t + v * v, 0) / n)
  const normals = vertexNormals(mesh)
  const out = positions.slice()
  for (let v = 0; v < n; v++)
    for (let k = 0; k < 3; k++) out[3 * v + k] = out[3 * v + k]! + (sigmaMm * smoothed[v]! * normals[3 * v + k]!) / rms
  return { positions: out, triangles }
}

/** `holes` round openings: all triangles with a corner within `radiusMm` of a random vertex are taken out. */
export function withHoles(mesh: Mesh, holes: number, radiusMm: number, seed: number): Mesh {
  const { positions: p, triangles } = mesh
  const random = seededRandom(seed)
  const centres = Array.from({ length: holes }, () => Math.floor(random() * (p.length / 3)))
  const isNear = (v: number) =>
    centres.some(
      (c) => Math.hypot(p[3 * v]! - p[3 * c]!, p[3 * v + 1]! - p[3 * c + 1]!, p[3 * v + 2]! - p[3 * c + 2]!) < radiusMm,
    )
  const kept: number[] = []
  for (let i = 0; i < triangles.length; i += 3) {
    const corners = [triangles[i]!, triangles[i + 1]!, triangles[i + 2]!]
    if (!corners.some(isNear)) kept.push(...corners)
  }
  return { positions: p, triangles: Uint32Array.from(kept) }
}

/** One number for the unit cube a point lies in; for coordinates within ±2¹⁶. */
export const cellKey = (x: number, y: number, z: number): number =>
  (Math.floor(x) + HALF) * SIDE * SIDE + (Math.floor(y) + HALF) * SIDE + (Math.floor(z) + HALF)
const HALF = 2 ** 16
const SIDE = 2 ** 17

/** Vertices merged within cubes of `cellMm` (each cube's mean stands for all); collapsed triangles fall out. May not stay closed. */
export function decimated(mesh: Mesh, cellMm: number): Mesh {
  const { positions: p, triangles } = mesh
  const cells = new Map<number, number>()
  const sums: number[] = []
  const cellOf = new Uint32Array(p.length / 3)
  for (let v = 0; v < cellOf.length; v++) {
    const key = cellKey(p[3 * v]! / cellMm, p[3 * v + 1]! / cellMm, p[3 * v + 2]! / cellMm)
    const cell = cells.get(key) ?? cells.size
    if (cell === cells.size) {
      cells.set(key, cell)
      sums.push(0, 0, 0, 0)
    }
    cellOf[v] = cell
    for (let k = 0; k < 3; k++) sums[4 * cell + k]! += p[3 * v + k]!
    sums[4 * cell + 3]! += 1
  }
  const positions = new Float64Array(cells.size * 3)
  for (let c = 0; c < cells.size; c++)
    for (let k = 0; k < 3; k++) positions[3 * c + k] = sums[4 * c + k]! / sums[4 * c + 3]!
  const kept: number[] = []
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [cellOf[triangles[i]!]!, cellOf[triangles[i + 1]!]!, cellOf[triangles[i + 2]!]!]
    if (a !== b && b !== c && c !== a) kept.push(a, b, c)
  }
  return { positions, triangles: Uint32Array.from(kept) }
}

/** The part of the mesh between two heights along a unit direction, cut at whole triangles (open, like a truncated scan). */
export function truncated(mesh: Mesh, along: readonly [number, number, number], low: number, high: number): Mesh {
  const { positions: p, triangles } = mesh
  const height = (v: number) => p[3 * v]! * along[0] + p[3 * v + 1]! * along[1] + p[3 * v + 2]! * along[2]
  const kept: number[] = []
  for (let i = 0; i < triangles.length; i += 3) {
    const corners = [triangles[i]!, triangles[i + 1]!, triangles[i + 2]!]
    if (corners.every((v) => height(v) >= low && height(v) <= high)) kept.push(...corners)
  }
  return { positions: p, triangles: Uint32Array.from(kept) }
}

/** Area-weighted unit normals of the vertices, three numbers each. */
function vertexNormals({ positions: p, triangles }: Mesh): Float64Array {
  const out = new Float64Array(p.length)
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [3 * triangles[i]!, 3 * triangles[i + 1]!, 3 * triangles[i + 2]!]
    const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!]
    const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!]
    const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]
    for (const corner of [a, b, c]) for (let k = 0; k < 3; k++) out[corner + k]! += n[k]!
  }
  for (let i = 0; i < out.length; i += 3) {
    const l = Math.hypot(out[i]!, out[i + 1]!, out[i + 2]!) || 1
    for (let k = 0; k < 3; k++) out[i + k]! /= l
  }
  return out
}
