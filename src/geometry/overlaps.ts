import type { EdgeMatch } from './edge-match.ts'
import type { Mesh } from './mesh.ts'
import { enclosingShells, measureShells } from './shells.ts'
import type { MeshTree } from './tree.ts'
import type { Vec3 } from './vec.ts'

/** Where a surface runs through itself. */
export interface Crossings {
  /** Pairs of triangles (numbers in the tree's mesh) that pass through each other; at most `limit`. */
  readonly pairs: readonly (readonly [number, number])[]
  /** Whether there were more than `limit`. */
  readonly more: boolean
}

/**
 * Finds triangles of a mesh that pass through each other, neighbours at an edge left out, by walking its tree against
 * itself. Touching without passing through does not count. `limit`: most pairs to report; the search stops there.
 */
export function selfCrossings(tree: MeshTree, limit = 1000): Crossings {
  const pairs: [number, number][] = []
  const { nodeCount, skip, start, count, boxes, mesh } = tree
  if (nodeCount === 0) return { pairs, more: false }
  const isLeaf = (n: number) => skip[n] === n + 1
  const waiting: number[] = [0, 0]
  while (waiting.length > 0) {
    const b = waiting.pop()!
    const a = waiting.pop()!
    if (a !== b && !boxesMeet(boxes, a, b)) continue
    if (isLeaf(a) && isLeaf(b)) {
      for (let i = start[a]!; i < start[a]! + count[a]!; i++) {
        for (let j = a === b ? i + 1 : start[b]!; j < start[b]! + count[b]!; j++) {
          if (areApart(mesh, i, j) || !cross(mesh, i, j)) continue
          if (pairs.length === limit) return { pairs, more: true }
          pairs.push([i, j])
        }
      }
    } else if (a === b) {
      const left = a + 1
      const right = skip[left]!
      waiting.push(left, left, right, right, left, right)
    } else if (isLeaf(b) || (!isLeaf(a) && size(boxes, a) > size(boxes, b))) {
      waiting.push(a + 1, b, skip[a + 1]!, b)
    } else {
      waiting.push(a, b + 1, a, skip[b + 1]!)
    }
  }
  return { pairs, more: false }
}

/** Closed shells that count twice: each lies inside a larger one and is wound outward like it. */
export function doubledShells(mesh: Mesh, { pieceOf, pieces, twin }: EdgeMatch): number[] {
  if (pieces < 2 || pieces > MOST_SHELLS) return []
  const shells = measureShells(mesh, pieceOf, pieces)
  const open = new Uint8Array(pieces)
  for (let h = 0; h < twin.length; h++) if (twin[h]! < 0) open[pieceOf[Math.floor(h / 3)]!] = 1
  return shells.flatMap((shell, i) => {
    if (open[i] === 1 || shell.signedVolumeMm3 <= 0) return []
    const depth = enclosingShells(mesh, pieceOf, shells, i, (j) => open[j] === 0)
    return depth % 2 === 1 ? [i] : []
  })
}

const MOST_SHELLS = 200

function boxesMeet(boxes: Float32Array, a: number, b: number): boolean {
  for (let k = 0; k < 3; k++) {
    const apart = Math.abs(boxes[8 * a + k]! - boxes[8 * b + k]!)
    if (apart > boxes[8 * a + 3 + k]! + boxes[8 * b + 3 + k]!) return false
  }
  return true
}

const size = (boxes: Float32Array, n: number): number => boxes[8 * n + 3]! + boxes[8 * n + 4]! + boxes[8 * n + 5]!

/** Whether the boxes of two triangles are apart: most pairs are. */
function areApart({ positions: p, triangles }: Mesh, i: number, j: number): boolean {
  const a = 3 * triangles[3 * i]!
  const b = 3 * triangles[3 * i + 1]!
  const c = 3 * triangles[3 * i + 2]!
  const d = 3 * triangles[3 * j]!
  const e = 3 * triangles[3 * j + 1]!
  const f = 3 * triangles[3 * j + 2]!
  for (let k = 0; k < 3; k++) {
    const x = p[a + k]!
    const y = p[b + k]!
    const z = p[c + k]!
    const u = p[d + k]!
    const v = p[e + k]!
    const w = p[f + k]!
    if (x < u && x < v && x < w && y < u && y < v && y < w && z < u && z < v && z < w) return true
    if (x > u && x > v && x > w && y > u && y > v && y > w && z > u && z > v && z > w) return true
  }
  return false
}

/** Whether an edge of one triangle passes through the inside of the other. */
function cross({ positions: p, triangles }: Mesh, i: number, j: number): boolean {
  let atI = -1
  let atJ = -1
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      if (triangles[3 * i + a] !== triangles[3 * j + b]) continue
      if (atI >= 0) return false
      atI = a
      atJ = b
    }
  }
  const at = (corner: number): Vec3 => {
    const v = 3 * triangles[corner]!
    return [p[v]!, p[v + 1]!, p[v + 2]!]
  }
  const s = [at(3 * i), at(3 * i + 1), at(3 * i + 2)] as const
  const t = [at(3 * j), at(3 * j + 1), at(3 * j + 2)] as const
  for (let k = 0; k < 3; k++) {
    // At a shared corner only the edge opposite to it can pass through.
    if ((atI < 0 || (atI + 1) % 3 === k) && passes(s[k]!, s[(k + 1) % 3]!, t)) return true
    if ((atJ < 0 || (atJ + 1) % 3 === k) && passes(t[k]!, t[(k + 1) % 3]!, s)) return true
  }
  return false
}

/** Whether the segment has its ends strictly on both sides of the triangle and meets it strictly inside. */
function passes(from: Vec3, to: Vec3, [a, b, c]: readonly [Vec3, Vec3, Vec3]): boolean {
  const below = orientation(a, b, c, from)
  const above = orientation(a, b, c, to)
  if (!(below * above < 0)) return false
  const x = orientation(from, to, a, b)
  const y = orientation(from, to, b, c)
  const z = orientation(from, to, c, a)
  return (x > 0 && y > 0 && z > 0) || (x < 0 && y < 0 && z < 0)
}

/** Six times the volume of the tetrahedron; 0 within rounding. */
function orientation(a: Vec3, b: Vec3, c: Vec3, d: Vec3): number {
  const ux = a[0] - d[0]
  const uy = a[1] - d[1]
  const uz = a[2] - d[2]
  const vx = b[0] - d[0]
  const vy = b[1] - d[1]
  const vz = b[2] - d[2]
  const wx = c[0] - d[0]
  const wy = c[1] - d[1]
  const wz = c[2] - d[2]
  const yz = vy * wz - vz * wy
  const zx = vz * wx - vx * wz
  const xy = vx * wy - vy * wx
  const value = ux * yz + uy * zx + uz * xy
  // Rounding of the products above: Shewchuk, Discrete Comput Geom 1997;18:305, first stage of its filter.
  const permanent =
    Math.abs(ux) * (Math.abs(vy * wz) + Math.abs(vz * wy)) +
    Math.abs(uy) * (Math.abs(vz * wx) + Math.abs(vx * wz)) +
    Math.abs(uz) * (Math.abs(vx * wy) + Math.abs(vy * wx))
  return Math.abs(value) > 7.8e-16 * permanent ? value : 0
}
