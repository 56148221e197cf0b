import type { Mesh } from './mesh.ts'
import type { Rigid } from './rigid.ts'

/** The mesh moved rigidly. */
export function mapMesh(mesh: Mesh, f: Rigid): Mesh {
  const { rotation: r, translation: t } = f
  const p = mesh.positions
  const out = new Float64Array(p.length)
  for (let i = 0; i < p.length; i += 3) {
    const x = p[i]!
    const y = p[i + 1]!
    const z = p[i + 2]!
    out[i] = r[0] * x + r[1] * y + r[2] * z + t[0]
    out[i + 1] = r[3] * x + r[4] * y + r[5] * z + t[1]
    out[i + 2] = r[6] * x + r[7] * y + r[8] * z + t[2]
  }
  return { positions: out, triangles: mesh.triangles }
}

/** The mesh scaled about the origin by a positive factor (unit conversion). */
export function scaleMesh(mesh: Mesh, factor: number): Mesh {
  return { positions: mesh.positions.map((v) => v * factor), triangles: mesh.triangles }
}

/** The mirror image across x = 0 with winding turned, so that outward stays outward. */
export function mirrorMesh(mesh: Mesh): Mesh {
  const positions = mesh.positions.slice()
  for (let i = 0; i < positions.length; i += 3) positions[i] = -positions[i]!
  return { positions, triangles: flipWinding(mesh.triangles) }
}

/** Every triangle turned over. */
export function flipWinding(triangles: Uint32Array): Uint32Array {
  const out = triangles.slice()
  for (let i = 0; i < out.length; i += 3) {
    out[i + 1] = triangles[i + 2]!
    out[i + 2] = triangles[i + 1]!
  }
  return out
}
