import { type Mesh, usedVertices } from './mesh.ts'
import { VertexTable } from './vertex-table.ts'

export interface Welded {
  readonly mesh: Mesh
  /** Triangles left out because two of their corners are the same point. */
  readonly droppedTriangles: number
  /** Vertices no remaining triangle uses, left out. */
  readonly unusedVertices: number
}

/**
 * Joins vertices whose coordinates are equal to the bit (−0 taken as 0), leaves out triangles with a repeated corner
 * and vertices without a triangle. Order of triangles and first corners stays. Coordinates must be finite and indices
 * in range. No triangles give an empty mesh.
 */
export function weld(mesh: Mesh): Welded {
  const { positions, triangles } = mesh
  const used = usedVertices(mesh)
  const table = new VertexTable(used.length)
  const number = new Uint32Array(used.length)
  let unusedVertices = 0
  for (let v = 0; v < used.length; v++) {
    if (used[v] === 0) unusedVertices++
    else number[v] = table.add(positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!)
  }
  const joined = triangles.map((v) => number[v]!)
  const dropped = dropRepeatedCorners({ positions: table.positions(), triangles: joined })
  return { ...dropped, unusedVertices: unusedVertices + dropped.unusedVertices }
}

/** Leaves out triangles that name one vertex twice, and then vertices without a triangle. */
export function dropRepeatedCorners(mesh: Mesh): Welded {
  const { triangles } = mesh
  let kept = 0
  for (let t = 0; t < triangles.length; t += 3) if (hasThreeCorners(triangles, t)) kept += 3
  if (kept === triangles.length) return { mesh, droppedTriangles: 0, unusedVertices: 0 }
  const remaining = new Uint32Array(kept)
  let at = 0
  for (let t = 0; t < triangles.length; t += 3) {
    if (!hasThreeCorners(triangles, t)) continue
    remaining[at++] = triangles[t]!
    remaining[at++] = triangles[t + 1]!
    remaining[at++] = triangles[t + 2]!
  }
  const tidy = dropUnusedVertices({ positions: mesh.positions, triangles: remaining })
  return {
    mesh: tidy,
    droppedTriangles: (triangles.length - kept) / 3,
    unusedVertices: (mesh.positions.length - tidy.positions.length) / 3,
  }
}

/** The same triangles on a vertex list without unused entries; order of vertices stays. */
export function dropUnusedVertices(mesh: Mesh): Mesh {
  const { positions, triangles } = mesh
  const number = new Int32Array(positions.length / 3).fill(-1)
  for (const v of triangles) number[v] = 0
  let count = 0
  for (let v = 0; v < number.length; v++) if (number[v] === 0) number[v] = count++
  if (count === number.length) return mesh
  const kept = new Float64Array(3 * count)
  for (let v = 0; v < number.length; v++) {
    const to = number[v]!
    if (to >= 0) for (let k = 0; k < 3; k++) kept[3 * to + k] = positions[3 * v + k]!
  }
  return { positions: kept, triangles: triangles.map((v) => number[v]!) }
}

function hasThreeCorners(triangles: Uint32Array, t: number): boolean {
  const a = triangles[t]!
  const b = triangles[t + 1]!
  const c = triangles[t + 2]!
  return a !== b && b !== c && c !== a
}
