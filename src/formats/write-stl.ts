import type { Mesh } from '../geometry/mesh.ts'

/**
 * The mesh as binary STL, coordinates rounded to 32-bit floats, normals computed from the corners (0 0 0 for a
 * triangle without area). `header`: at most 80 ASCII characters; it never begins with `solid`.
 */
export function writeStl(mesh: Mesh, header = 'Floorline surface, mm. Not for guiding a cut.'): Uint8Array {
  const { positions: p, triangles } = mesh
  const count = triangles.length / 3
  const bytes = new Uint8Array(84 + 50 * count)
  const view = new DataView(bytes.buffer)
  const head = /^\s*solid/i.test(header) ? `STL ${header}` : header
  for (let i = 0; i < Math.min(80, head.length); i++) bytes[i] = printable(head.charCodeAt(i))
  view.setUint32(80, count, true)
  let at = 84
  for (let t = 0; t < triangles.length; t += 3, at += 50) {
    const a = 3 * triangles[t]!
    const b = 3 * triangles[t + 1]!
    const c = 3 * triangles[t + 2]!
    writeNormal(view, at, p, a, b, c)
    for (let k = 0; k < 3; k++) {
      view.setFloat32(at + 12 + 4 * k, p[a + k]!, true)
      view.setFloat32(at + 24 + 4 * k, p[b + k]!, true)
      view.setFloat32(at + 36 + 4 * k, p[c + k]!, true)
    }
  }
  return bytes
}

const printable = (code: number): number => (code >= 32 && code < 127 ? code : 63)

function writeNormal(view: DataView, at: number, p: Float64Array, a: number, b: number, c: number): void {
  const ux = p[b]! - p[a]!
  const uy = p[b + 1]! - p[a + 1]!
  const uz = p[b + 2]! - p[a + 2]!
  const vx = p[c]! - p[a]!
  const vy = p[c + 1]! - p[a + 1]!
  const vz = p[c + 2]! - p[a + 2]!
  const nx = uy * vz - uz * vy
  const ny = uz * vx - ux * vz
  const nz = ux * vy - uy * vx
  const size = Math.hypot(nx, ny, nz)
  if (!(size > 0)) return
  view.setFloat32(at, nx / size, true)
  view.setFloat32(at + 4, ny / size, true)
  view.setFloat32(at + 8, nz / size, true)
}
