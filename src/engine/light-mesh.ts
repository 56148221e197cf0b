import type { Mesh } from '../geometry/mesh.ts'
import { type DisplayMesh, displayMesh } from './display-mesh.ts'

/** The display copy never exceeds this. */
export const mostDisplayTriangles = 200_000

export interface LightOptions {
  /** Which triangles of the copy lie on a saw cut. */
  readonly onCut?: (light: Mesh) => (triangle: number) => boolean
}

/** The mesh as drawn: itself while it is small, else a copy with vertices merged on the finest grid that is light enough. */
export function lightMesh(mesh: Mesh, options: LightOptions = {}): DisplayMesh {
  const count = mesh.triangles.length / 3
  const display = (light: Mesh) =>
    displayMesh(light, { ofTriangles: count, ...(options.onCut ? { onCut: options.onCut(light) } : {}) })
  if (count <= mostDisplayTriangles) return display(mesh)
  let light = mesh
  // A closed surface has about half as many vertices as triangles, spread over its area: cells of this size keep about the wanted number.
  for (let cell = firstCell(mesh); light.triangles.length / 3 > mostDisplayTriangles; cell *= 1.25) {
    light = mergeOnGrid(mesh, cell)
  }
  return display(light)
}

function firstCell({ positions: p, triangles: t }: Mesh): number {
  let twiceArea = 0
  for (let i = 0; i < t.length; i += 3) {
    const a = 3 * t[i]!
    const b = 3 * t[i + 1]!
    const c = 3 * t[i + 2]!
    const ux = p[b]! - p[a]!
    const uy = p[b + 1]! - p[a + 1]!
    const uz = p[b + 2]! - p[a + 2]!
    const vx = p[c]! - p[a]!
    const vy = p[c + 1]! - p[a + 1]!
    const vz = p[c + 2]! - p[a + 2]!
    twiceArea += Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx)
  }
  return Math.sqrt(twiceArea / mostDisplayTriangles)
}

/** Vertices in one cell of a grid become their mean; triangles that collapse are dropped. */
function mergeOnGrid({ positions: p, triangles: t }: Mesh, cell: number): Mesh {
  const cells = new Map<number, number>()
  const into = new Uint32Array(p.length / 3)
  const sums: number[] = []
  const counts: number[] = []
  const low = [0, 1, 2].map((axis) => {
    let least = Infinity
    for (let i = axis; i < p.length; i += 3) least = Math.min(least, p[i]!)
    return least
  })
  for (let v = 0; v < into.length; v++) {
    const [i, j, k] = [0, 1, 2].map((axis) => Math.floor((p[3 * v + axis]! - low[axis]!) / cell)) as [
      number,
      number,
      number,
    ]
    const key = (i * 65_536 + j) * 65_536 + k
    let merged = cells.get(key)
    if (merged === undefined) {
      merged = counts.length
      cells.set(key, merged)
      counts.push(0)
      sums.push(0, 0, 0)
    }
    into[v] = merged
    counts[merged]!++
    for (let axis = 0; axis < 3; axis++) sums[3 * merged + axis]! += p[3 * v + axis]!
  }
  const triangles: number[] = []
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [into[t[i]!]!, into[t[i + 1]!]!, into[t[i + 2]!]!]
    if (a !== b && b !== c && c !== a) triangles.push(a, b, c)
  }
  return {
    positions: Float64Array.from(sums, (sum, k) => sum / counts[Math.floor(k / 3)]!),
    triangles: Uint32Array.from(triangles),
  }
}
