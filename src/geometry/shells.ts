import type { Mesh } from './mesh.ts'
import type { Vec3 } from './vec.ts'

/** One connected piece of a surface. */
export interface Shell {
  readonly triangles: number
  /** By the divergence theorem about the mesh's box centre; has a meaning only where the shell is closed. Negative: wound inward. */
  readonly signedVolumeMm3: number
  readonly areaMm2: number
  readonly box: { readonly min: Vec3; readonly max: Vec3 }
  /** Number of one of its triangles. */
  readonly anyTriangle: number
}

/** Measures every piece of a mesh in one pass; `pieceOf` as `matchEdges` gives it. */
export function measureShells(mesh: Mesh, pieceOf: Uint32Array, pieces: number): Shell[] {
  const { positions: p, triangles } = mesh
  const counts = new Uint32Array(pieces)
  const volumes = new Float64Array(pieces)
  const areas = new Float64Array(pieces)
  const boxes = new Float64Array(6 * pieces)
  const any = new Uint32Array(pieces)
  for (let i = 0; i < pieces; i++) boxes.set(EMPTY_BOX, 6 * i)
  const [ox, oy, oz] = middle(p)
  for (let t = 0; t < triangles.length; t += 3) {
    const piece = pieceOf[t / 3]!
    const a = 3 * triangles[t]!
    const b = 3 * triangles[t + 1]!
    const c = 3 * triangles[t + 2]!
    const ax = p[a]! - ox
    const ay = p[a + 1]! - oy
    const az = p[a + 2]! - oz
    const ux = p[b]! - p[a]!
    const uy = p[b + 1]! - p[a + 1]!
    const uz = p[b + 2]! - p[a + 2]!
    const vx = p[c]! - p[a]!
    const vy = p[c + 1]! - p[a + 1]!
    const vz = p[c + 2]! - p[a + 2]!
    const nx = uy * vz - uz * vy
    const ny = uz * vx - ux * vz
    const nz = ux * vy - uy * vx
    volumes[piece]! += (ax * nx + ay * ny + az * nz) / 6
    areas[piece]! += Math.sqrt(nx * nx + ny * ny + nz * nz) / 2
    if (counts[piece]!++ === 0) any[piece] = t / 3
    widen(boxes, 6 * piece, p, a)
    widen(boxes, 6 * piece, p, b)
    widen(boxes, 6 * piece, p, c)
  }
  return Array.from({ length: pieces }, (_, i) => ({
    triangles: counts[i]!,
    signedVolumeMm3: volumes[i]!,
    areaMm2: areas[i]!,
    box: {
      min: [boxes[6 * i]!, boxes[6 * i + 1]!, boxes[6 * i + 2]!],
      max: [boxes[6 * i + 3]!, boxes[6 * i + 4]!, boxes[6 * i + 5]!],
    },
    anyTriangle: any[i]!,
  }))
}

const INF = Number.POSITIVE_INFINITY
const EMPTY_BOX = [INF, INF, INF, -INF, -INF, -INF]

function widen(boxes: Float64Array, at: number, p: Float64Array, v: number): void {
  for (let k = 0; k < 3; k++) {
    const c = p[v + k]!
    if (c < boxes[at + k]!) boxes[at + k] = c
    if (c > boxes[at + 3 + k]!) boxes[at + 3 + k] = c
  }
}

/** Centre of the bounding box of all vertices: sums about it lose little to cancellation far from the origin. */
export function middle(p: Float64Array): Vec3 {
  const box = Float64Array.from(EMPTY_BOX)
  for (let v = 0; v < p.length; v += 3) widen(box, 0, p, v)
  return p.length === 0 ? [0, 0, 0] : [(box[0]! + box[3]!) / 2, (box[1]! + box[4]!) / 2, (box[2]! + box[5]!) / 2]
}

/**
 * How many times the ray from `point` along a fixed skew direction crosses the triangles of piece `piece`: odd means
 * inside, for a closed piece and a point that is not on it.
 */
export function crossings(mesh: Mesh, pieceOf: Uint32Array, piece: number, point: Vec3): number {
  const { positions: p, triangles } = mesh
  let count = 0
  for (let t = 0; t < triangles.length; t += 3) {
    if (pieceOf[t / 3] !== piece) continue
    const a = 3 * triangles[t]!
    const b = 3 * triangles[t + 1]!
    const c = 3 * triangles[t + 2]!
    if (hitsTriangle(p, a, b, c, point)) count++
  }
  return count
}

/** Corners of a shell that are looked at to tell whether it lies inside another. */
const SAMPLES = 5

/**
 * How many of the other closed shells lie around shell `i`: its box within theirs, and most of a few of its corners
 * inside. `labelOf`: the shell of each triangle; `isClosed` tells which shells can surround anything.
 */
export function enclosingShells(
  mesh: Mesh,
  labelOf: Uint32Array,
  shells: readonly Shell[],
  i: number,
  isClosed: (j: number) => boolean = () => true,
): number {
  const around = shells.flatMap((s, j) => (j !== i && isClosed(j) && isInBox(s, shells[i]!) ? [j] : []))
  if (around.length === 0) return 0
  const points = cornersOf(mesh, labelOf, shells[i]!, i)
  return around.filter((j) => {
    const inside = points.filter((p) => crossings(mesh, labelOf, j, p) % 2 === 1)
    return 2 * inside.length > points.length
  }).length
}

/** A few corners spread over the shell's triangles. */
function cornersOf({ positions: p, triangles }: Mesh, labelOf: Uint32Array, shell: Shell, i: number): Vec3[] {
  const step = Math.max(1, Math.floor(shell.triangles / SAMPLES))
  const points: Vec3[] = []
  for (let t = shell.anyTriangle, seen = 0; t < labelOf.length && points.length < SAMPLES; t++) {
    if (labelOf[t] !== i || seen++ % step !== 0) continue
    const v = 3 * triangles[3 * t]!
    points.push([p[v]!, p[v + 1]!, p[v + 2]!])
  }
  return points
}

/** Whether the box of `inner` lies within that of `outer`. */
export const isInBox = (outer: Shell, inner: Shell): boolean =>
  [0, 1, 2].every((k) => inner.box.min[k]! >= outer.box.min[k]! && inner.box.max[k]! <= outer.box.max[k]!)

/** A direction that no plane of symmetry, grid or voxel surface contains. */
const SKEW: Vec3 = [0.5377223, 0.2990213, 0.7883451]

function hitsTriangle(p: Float64Array, a: number, b: number, c: number, from: Vec3): boolean {
  const ux = p[b]! - p[a]!
  const uy = p[b + 1]! - p[a + 1]!
  const uz = p[b + 2]! - p[a + 2]!
  const vx = p[c]! - p[a]!
  const vy = p[c + 1]! - p[a + 1]!
  const vz = p[c + 2]! - p[a + 2]!
  const hx = SKEW[1] * vz - SKEW[2] * vy
  const hy = SKEW[2] * vx - SKEW[0] * vz
  const hz = SKEW[0] * vy - SKEW[1] * vx
  const det = ux * hx + uy * hy + uz * hz
  if (det === 0) return false
  const sx = from[0] - p[a]!
  const sy = from[1] - p[a + 1]!
  const sz = from[2] - p[a + 2]!
  const s = (sx * hx + sy * hy + sz * hz) / det
  if (s < 0 || s > 1) return false
  const qx = sy * uz - sz * uy
  const qy = sz * ux - sx * uz
  const qz = sx * uy - sy * ux
  const t = (SKEW[0] * qx + SKEW[1] * qy + SKEW[2] * qz) / det
  if (t < 0 || s + t > 1) return false
  return (vx * qx + vy * qy + vz * qz) / det > 0
}
