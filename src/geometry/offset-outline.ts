import { Crossings, trace } from './contour.ts'
import type { Plane } from './plane.ts'
import { planeBasis } from './plane-basis.ts'
import { addScaled, dot, sub, type Vec3 } from './vec.ts'

/** Grid pitch when none is given, mm. */
const DEFAULT_PITCH_MM = 0.25

/**
 * Outlines at a distance from given ones: outward by `offsetMm`, inward when negative, with round corners, parts that
 * meet joined and parts that vanish gone. Outlines lie in the plane (mesh frame, mm), outer ones counter-clockwise
 * seen from its normal, holes clockwise; so do the answer's. The distance is exact at the nodes of a grid of
 * `pitchMm` and linear between them: on smooth outlines of radius R it is good to pitch²/8R. No outlines give none.
 */
export function offsetOutline(
  loops: readonly (readonly Vec3[])[],
  plane: Plane,
  offsetMm: number,
  pitchMm: number = DEFAULT_PITCH_MM,
): Vec3[][] {
  const [u, v] = planeBasis(plane.normal)
  const flat = loops.map((loop) => loop.map((p) => flatten(sub(p, plane.point), u, v)))
  const segments = flat.flatMap((loop) => loop.map((p, k) => [p, loop[(k + 1) % loop.length]!] as const))
  if (segments.length === 0) return []
  const grid = layGrid(flat.flat(), Math.max(offsetMm, 0), pitchMm)
  const band = Math.abs(offsetMm) + 2 * pitchMm
  const distance = distances(grid, segments, band)
  turnInsideNegative(grid, distance, segments)
  return levelLines(grid, distance, offsetMm).map((line) =>
    line.map(([a, b]) => addScaled(addScaled(plane.point, u, a), v, b)),
  )
}

type Point2 = readonly [number, number]
type Segment = readonly [Point2, Point2]

const flatten = (p: Vec3, u: Vec3, v: Vec3): Point2 => [dot(p, u), dot(p, v)]

interface Grid {
  readonly u0: number
  readonly v0: number
  readonly pitch: number
  readonly columns: number
  readonly rows: number
}

function layGrid(points: readonly Point2[], grow: number, pitch: number): Grid {
  let u0 = Number.POSITIVE_INFINITY
  let v0 = Number.POSITIVE_INFINITY
  let u1 = Number.NEGATIVE_INFINITY
  let v1 = Number.NEGATIVE_INFINITY
  for (const [a, b] of points) {
    u0 = Math.min(u0, a)
    u1 = Math.max(u1, a)
    v0 = Math.min(v0, b)
    v1 = Math.max(v1, b)
  }
  const margin = grow + 3 * pitch
  // An uneven start keeps straight outlines off the nodes' own lines.
  const shift = 0.318 * pitch
  return {
    u0: u0 - margin - shift,
    v0: v0 - margin - shift,
    pitch,
    columns: Math.ceil((u1 - u0 + 2 * margin) / pitch) + 2,
    rows: Math.ceil((v1 - v0 + 2 * margin) / pitch) + 2,
  }
}

/** Unsigned distance of every node to the outlines, no more than `band`. */
function distances(grid: Grid, segments: readonly Segment[], band: number): Float64Array {
  const { u0, v0, pitch, columns, rows } = grid
  const out = new Float64Array(columns * rows).fill(band)
  for (const [[au, av], [bu, bv]] of segments) {
    const du = bu - au
    const dv = bv - av
    const length2 = du * du + dv * dv
    const iLow = Math.max(0, Math.ceil((Math.min(au, bu) - band - u0) / pitch))
    const iHigh = Math.min(columns - 1, Math.floor((Math.max(au, bu) + band - u0) / pitch))
    const jLow = Math.max(0, Math.ceil((Math.min(av, bv) - band - v0) / pitch))
    const jHigh = Math.min(rows - 1, Math.floor((Math.max(av, bv) + band - v0) / pitch))
    for (let j = jLow; j <= jHigh; j++) {
      const pv = v0 + j * pitch - av
      for (let i = iLow; i <= iHigh; i++) {
        const pu = u0 + i * pitch - au
        const t = length2 > 0 ? Math.min(1, Math.max(0, (pu * du + pv * dv) / length2)) : 0
        const d = Math.hypot(pu - t * du, pv - t * dv)
        const at = j * columns + i
        if (d < out[at]!) out[at] = d
      }
    }
  }
  return out
}

/** Turns the sign of nodes inside the outlines, row by row from the crossings to the left of them. */
function turnInsideNegative(grid: Grid, distance: Float64Array, segments: readonly Segment[]): void {
  const { u0, v0, pitch, columns, rows } = grid
  const crossings: number[][] = Array.from({ length: rows }, () => [])
  for (const [[au, av], [bu, bv]] of segments) {
    const jLow = Math.max(0, Math.ceil((Math.min(av, bv) - v0) / pitch))
    const jHigh = Math.min(rows - 1, Math.floor((Math.max(av, bv) - v0) / pitch))
    for (let j = jLow; j <= jHigh; j++) {
      const level = v0 + j * pitch
      if (av > level !== bv > level) crossings[j]!.push(au + ((level - av) / (bv - av)) * (bu - au))
    }
  }
  crossings.forEach((row, j) => {
    row.sort((a, b) => a - b)
    for (let k = 0; k + 1 < row.length; k += 2) {
      const first = Math.max(0, Math.ceil((row[k]! - u0) / pitch))
      const last = Math.min(columns - 1, Math.floor((row[k + 1]! - u0) / pitch))
      for (let i = first; i <= last; i++) distance[j * columns + i]! *= -1
    }
  })
}

/** Lines along which the distance is `level`; what lies below it on their left. */
function levelLines(grid: Grid, distance: Float64Array, level: number): Point2[][] {
  const { columns, rows } = grid
  const crossings = new Crossings()
  const inside = (node: number): boolean => distance[node]! < level
  const add = (a: number, b: number, c: number): void => {
    const inA = inside(a)
    const inB = inside(b)
    const inC = inside(c)
    if (inA !== inB || inB !== inC) crossings.add(a, b, c, inA, inB, inC)
  }
  for (let j = 0; j + 1 < rows; j++) {
    for (let i = 0; i + 1 < columns; i++) {
      const at = j * columns + i
      add(at, at + 1, at + columns + 1)
      add(at, at + columns + 1, at + columns)
    }
  }
  const point = (a: number, b: number): Point2 => {
    const t = (level - distance[a]!) / (distance[b]! - distance[a]!)
    const [au, av] = nodeAt(grid, a)
    const [bu, bv] = nodeAt(grid, b)
    return [au + t * (bu - au), av + t * (bv - av)]
  }
  return trace(crossings).loops.map((pieces) => pieces.map((k) => point(crossings.fromA[k]!, crossings.fromB[k]!)))
}

const nodeAt = ({ u0, v0, pitch, columns }: Grid, node: number): Point2 => [
  u0 + (node % columns) * pitch,
  v0 + Math.floor(node / columns) * pitch,
]
