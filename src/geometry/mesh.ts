/**
 * A triangle mesh. `positions` holds 3n coordinates in mm, `triangles` 3m vertex indices,
 * counter-clockwise seen from outside. Immutable after construction.
 */
export interface Mesh {
  readonly positions: Float64Array
  readonly triangles: Uint32Array
}

export const triangleCount = (mesh: Mesh): number => mesh.triangles.length / 3
export const vertexCount = (mesh: Mesh): number => mesh.positions.length / 3

/** For every vertex whether a triangle uses it: 1 or 0. */
export function usedVertices({ positions, triangles }: Mesh): Uint8Array {
  const used = new Uint8Array(positions.length / 3)
  for (let k = 0; k < triangles.length; k++) used[triangles[k]!] = 1
  return used
}
