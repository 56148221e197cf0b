import { unmatchedEdges } from '../src/geometry/closed.ts'
import type { Mesh } from '../src/geometry/mesh.ts'
import type { Vec3 } from '../src/geometry/vec.ts'
import { cellEdges, cellLoops } from './mesher-cells.ts'
import type { Sdf } from './sdf.ts'

/** A box that surely contains the solid, mm. */
export interface Box {
  readonly min: Vec3
  readonly max: Vec3
}

export interface MeshOptions {
  /** Edge of the sampling grid, mm; triangle edges come out about as long. */
  readonly edgeMm: number
  /** Upper bound of |∇f| anywhere in the box; blocks farther than this allows are skipped. */
  readonly lipschitz: number
}

/**
 * Triangulates the zero set of f as a closed, edge-manifold, outward mesh with every vertex projected on the zero set.
 * Dual method: one vertex per surface sheet of each grid cell, one quad per crossed grid edge. Where the grid is too
 * coarse for the shape two sheets may share an edge twice; then the grid is shifted and the work repeated.
 */
export function meshSdf(f: Sdf, box: Box, options: MeshOptions): Mesh {
  for (let attempt = 0; attempt < 8; attempt++) {
    const mesh = meshOnce(f, box, options, attempt * 0.137)
    if (isEdgeManifold(mesh)) return mesh
  }
  throw new Error(`no manifold mesh at ${options.edgeMm} mm: the grid is too coarse for this shape`)
}

function meshOnce(f: Sdf, box: Box, { edgeMm: h, lipschitz }: MeshOptions, shift: number): Mesh {
  const block = 4
  const size = [0, 1, 2].map((k) => Math.ceil(((box.max[k]! - box.min[k]!) / h + 2) / block) * block)
  const [nx, ny, nz] = [size[0]! + 1, size[1]! + 1, size[2]! + 1]
  const [ox, oy, oz] = [0, 1, 2].map((k) => box.min[k]! - h * (1 - shift)) as [number, number, number]
  const values = new Float32Array(nx * ny * nz).fill(Number.NaN)
  const blocks: number[] = []
  collectBlocks(0, 0, 0, 64)

  const strideY = nx
  const strideZ = nx * ny
  const corner = [0, 1, strideY, strideY + 1, strideZ, strideZ + 1, strideZ + strideY, strideZ + strideY + 1]
  const positions: number[] = []
  const firstVertex = new Map<number, number>()
  const cellMask = new Map<number, number>()
  for (let b = 0; b < blocks.length; b += 3) evaluateBlock(blocks[b]!, blocks[b + 1]!, blocks[b + 2]!)
  for (let b = 0; b < blocks.length; b += 3) placeVertices(blocks[b]!, blocks[b + 1]!, blocks[b + 2]!)
  const quads = connect()
  const out = Float64Array.from(positions)
  relax(out, quads)
  project(f, out, h)
  return { positions: out, triangles: splitQuads(out, quads) }

  function collectBlocks(i: number, j: number, k: number, cells: number): void {
    if (cells === 64) {
      for (let a = 0; a < nz - 1; a += 64)
        for (let c = 0; c < ny - 1; c += 64) for (let d = 0; d < nx - 1; d += 64) visit(d, c, a, 64)
      return
    }
    visit(i, j, k, cells)
  }
  function visit(i: number, j: number, k: number, cells: number): void {
    if (i >= nx - 1 || j >= ny - 1 || k >= nz - 1) return
    const half = (cells * h) / 2
    const value = f(ox + i * h + half, oy + j * h + half, oz + k * h + half)
    if (Math.abs(value) > lipschitz * half * 1.7320508) return
    if (cells === block) {
      blocks.push(i, j, k)
      return
    }
    const c = cells / 2
    for (let q = 0; q < 8; q++) visit(i + (q & 1) * c, j + ((q >> 1) & 1) * c, k + (q >> 2) * c, c)
  }
  function evaluateBlock(i0: number, j0: number, k0: number): void {
    for (let k = k0; k <= k0 + block; k++)
      for (let j = j0; j <= j0 + block; j++) {
        let at = (k * ny + j) * nx + i0
        for (let i = i0; i <= i0 + block; i++, at++)
          if (Number.isNaN(values[at]!)) values[at] = f(ox + i * h, oy + j * h, oz + k * h)
      }
  }
  function placeVertices(i0: number, j0: number, k0: number): void {
    for (let k = k0; k < k0 + block; k++)
      for (let j = j0; j < j0 + block; j++)
        for (let i = i0; i < i0 + block; i++) {
          const at = (k * ny + j) * nx + i
          let mask = 0
          for (let c = 0; c < 8; c++) if (values[at + corner[c]!]! < 0) mask |= 1 << c
          if (mask === 0 || mask === 255) continue
          firstVertex.set(at, positions.length / 3)
          cellMask.set(at, mask)
          for (const loop of cellLoops[mask]!.loops) {
            let x = 0
            let y = 0
            let z = 0
            for (const e of loop) {
              const [a, b] = cellEdges[e]!
              const va = values[at + corner[a]!]!
              const t = va / (va - values[at + corner[b]!]!)
              x += (a & 1) + t * ((b & 1) - (a & 1))
              y += ((a >> 1) & 1) + t * (((b >> 1) & 1) - ((a >> 1) & 1))
              z += (a >> 2) + t * ((b >> 2) - (a >> 2))
            }
            const n = loop.length
            positions.push(ox + h * (i + x / n), oy + h * (j + y / n), oz + h * (k + z / n))
          }
        }
  }
  /** Vertex of the sheet that crosses local edge e of the cell at `at`. */
  function vertexAt(at: number, e: number): number {
    return firstVertex.get(at)! + cellLoops[cellMask.get(at)!]!.loopOfEdge[e]!
  }
  function connect(): Uint32Array {
    const quads: number[] = []
    // Local edge numbers, for each axis, of the shared grid edge as seen from its four cells (see mesher-cells.ts).
    for (const at of cellMask.keys()) {
      const v0 = values[at]! < 0
      quadAbout(at, v0, values[at + 1]! < 0, strideY, strideZ, 0)
      quadAbout(at, v0, values[at + strideY]! < 0, strideZ, 1, 4)
      quadAbout(at, v0, values[at + strideZ]! < 0, 1, strideY, 8)
    }
    return Uint32Array.from(quads)

    function quadAbout(at: number, inA: boolean, inB: boolean, su: number, sv: number, e: number): void {
      if (inA === inB) return
      // Around the edge, cells at (0,0), (−u,0), (−u,−v), (0,−v); the edge is local e, e+1 (u high), e+3, e+2 (v high).
      const a = vertexAt(at, e)
      const b = vertexAt(at - su, e + 1)
      const c = vertexAt(at - su - sv, e + 3)
      const d = vertexAt(at - sv, e + 2)
      if (inA) quads.push(a, b, c, d)
      else quads.push(a, d, c, b)
    }
  }
}

/** One step of moving every vertex towards the mean of its quad neighbours, which evens out the edge lengths. */
function relax(p: Float64Array, quads: Uint32Array): void {
  const sum = new Float64Array(p.length)
  const count = new Uint8Array(p.length / 3)
  for (let q = 0; q < quads.length; q += 4)
    for (let s = 0; s < 4; s++) {
      const a = quads[q + s]!
      const b = quads[q + ((s + 1) & 3)]!
      for (let k = 0; k < 3; k++) sum[3 * a + k] = sum[3 * a + k]! + p[3 * b + k]!
      count[a] = count[a]! + 1
    }
  for (let v = 0; v < count.length; v++)
    for (let k = 0; k < 3; k++) p[3 * v + k] = 0.5 * p[3 * v + k]! + (0.5 * sum[3 * v + k]!) / count[v]!
}

/** Newton steps along the gradient until the value is far below a hundredth of a millimetre. */
function project(f: Sdf, p: Float64Array, h: number): void {
  const d = 1e-4 * h
  for (let i = 0; i < p.length; i += 3) {
    let x = p[i]!
    let y = p[i + 1]!
    let z = p[i + 2]!
    let v = f(x, y, z)
    for (let step = 0; step < 6 && Math.abs(v) > 1e-6; step++) {
      const gx = (f(x + d, y, z) - v) / d
      const gy = (f(x, y + d, z) - v) / d
      const gz = (f(x, y, z + d) - v) / d
      const g2 = gx * gx + gy * gy + gz * gz
      const k = Math.max(-h, Math.min(h, v / Math.sqrt(g2))) / Math.sqrt(g2)
      x -= k * gx
      y -= k * gy
      z -= k * gz
      v = f(x, y, z)
      // A second, cheap step along the same direction is nearly as good as a new gradient on a smooth shape.
      const again = v / g2
      x -= again * gx
      y -= again * gy
      z -= again * gz
      v = f(x, y, z)
    }
    p[i] = x
    p[i + 1] = y
    p[i + 2] = z
  }
}

/** Each quad split along its shorter diagonal. */
function splitQuads(p: Float64Array, quads: Uint32Array): Uint32Array {
  const out = new Uint32Array((quads.length / 4) * 6)
  const gap = (a: number, b: number) =>
    (p[3 * a]! - p[3 * b]!) ** 2 + (p[3 * a + 1]! - p[3 * b + 1]!) ** 2 + (p[3 * a + 2]! - p[3 * b + 2]!) ** 2
  for (let q = 0, o = 0; q < quads.length; q += 4, o += 6) {
    const [a, b, c, d] = [quads[q]!, quads[q + 1]!, quads[q + 2]!, quads[q + 3]!]
    if (gap(a, c) <= gap(b, d)) out.set([a, b, c, a, c, d], o)
    else out.set([a, b, d, b, c, d], o)
  }
  return out
}

/** Every directed edge once, each with its opposite. */
export const isEdgeManifold = (mesh: Mesh): boolean => unmatchedEdges(mesh) === 0
