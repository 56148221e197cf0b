import type { Mesh } from '../geometry/mesh.ts'

/**
 * Pieces of a surface small enough to stand for a point each, so that a coarse mesh weighs by its area and not by its
 * corners. Coordinates are those of the mesh, three numbers a piece.
 */
export interface Patches {
  readonly count: number
  readonly centres: Float64Array
  /** Unit, in the sense of the winding. */
  readonly normals: Float64Array
  readonly areas: Float64Array
}

/**
 * Triangles cut into equal pieces with edges no longer than `largestMm` (at most 16 × 16 a triangle); of those with a corner that is
 * `near` (given where its coordinates start, 3v), all when left out.
 */
export function patchesOf(mesh: Mesh, largestMm: number, near: (start: number) => boolean = () => true): Patches {
  const { positions: p, triangles } = mesh
  const isNear = new Uint8Array(p.length / 3)
  for (let v = 0; v < isNear.length; v++) if (near(3 * v)) isNear[v] = 1
  const cuts = new Uint8Array(triangles.length / 3)
  let count = 0
  for (let t = 0; t < cuts.length; t++) {
    if (!(isNear[triangles[3 * t]!]! || isNear[triangles[3 * t + 1]!]! || isNear[triangles[3 * t + 2]!]!)) continue
    const n = cutsOf(p, triangles, 3 * t, largestMm)
    cuts[t] = n
    count += n * n
  }
  const centres = new Float64Array(3 * count)
  const normals = new Float64Array(3 * count)
  const areas = new Float64Array(count)
  let at = 0
  for (let t = 0; t < cuts.length; t++) {
    const k = cuts[t]!
    if (k === 0) continue
    const a = 3 * triangles[3 * t]!
    const b = 3 * triangles[3 * t + 1]!
    const c = 3 * triangles[3 * t + 2]!
    const ux = p[b]! - p[a]!
    const uy = p[b + 1]! - p[a + 1]!
    const uz = p[b + 2]! - p[a + 2]!
    const wx = p[c]! - p[a]!
    const wy = p[c + 1]! - p[a + 1]!
    const wz = p[c + 2]! - p[a + 2]!
    const nx = uy * wz - uz * wy
    const ny = uz * wx - ux * wz
    const nz = ux * wy - uy * wx
    const twice = Math.sqrt(nx * nx + ny * ny + nz * nz)
    // Row i, place j: the piece that stands as its triangle does, and beside it the one upside down. (Inline: a closure would box every number.)
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k - i; j++)
        for (let third = 1; third <= (j < k - i - 1 ? 2 : 1); third++) {
          const alongU = (i + third / 3) / k
          const alongW = (j + third / 3) / k
          centres[3 * at] = p[a]! + alongU * ux + alongW * wx
          centres[3 * at + 1] = p[a + 1]! + alongU * uy + alongW * wy
          centres[3 * at + 2] = p[a + 2]! + alongU * uz + alongW * wz
          normals[3 * at] = nx / twice
          normals[3 * at + 1] = ny / twice
          normals[3 * at + 2] = nz / twice
          areas[at] = twice / 2 / (k * k)
          at++
        }
  }
  return { count, centres, normals, areas }
}

/** Number of cuts per edge of the triangle whose first corner is `first`; 0 for one without area. */
export function cutsOf(p: Float64Array, triangles: Uint32Array, first: number, largestMm: number): number {
  const a = 3 * triangles[first]!
  const b = 3 * triangles[first + 1]!
  const c = 3 * triangles[first + 2]!
  const ab = between(p, a, b)
  const bc = between(p, b, c)
  const ca = between(p, c, a)
  const half = (ab + bc + ca) / 2
  if (!(half * (half - ab) * (half - bc) * (half - ca) > 1e-20)) return 0
  return Math.max(1, Math.min(16, Math.ceil(Math.max(ab, bc, ca) / largestMm)))
}

function between(p: Float64Array, i: number, j: number): number {
  const x = p[j]! - p[i]!
  const y = p[j + 1]! - p[i + 1]!
  const z = p[j + 2]! - p[i + 2]!
  return Math.sqrt(x * x + y * y + z * z)
}

const blockPieces = 256

/**
 * Goes through so many pieces block by block. The engine soon compiles a function that is called often; a long loop alone it enters
 * half-made, round after round.
 */
export function inBlocks(count: number, look: (from: number, to: number) => void): void {
  for (let from = 0; from < count; from += blockPieces) look(from, Math.min(from + blockPieces, count))
}

/** The pieces for which a condition on their number holds. */
export function piecesWhere({ count, centres, normals, areas }: Patches, holds: (piece: number) => boolean): Patches {
  const kept = new Uint32Array(count)
  let end = 0
  for (let i = 0; i < count; i++) if (holds(i)) kept[end++] = i
  const out = {
    count: end,
    centres: new Float64Array(3 * end),
    normals: new Float64Array(3 * end),
    areas: new Float64Array(end),
  }
  for (let k = 0; k < end; k++) {
    const i = kept[k]!
    for (let axis = 0; axis < 3; axis++) {
      out.centres[3 * k + axis] = centres[3 * i + axis]!
      out.normals[3 * k + axis] = normals[3 * i + axis]!
    }
    out.areas[k] = areas[i]!
  }
  return out
}
