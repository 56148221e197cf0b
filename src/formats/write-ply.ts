import type { Mesh } from '../geometry/mesh.ts'

export interface PlyOptions {
  /** Width of a coordinate: `double` keeps every bit, `float` rounds to 32 bits. */
  readonly precision: 'float' | 'double'
  /** Comment lines for the header; line breaks become blanks. */
  readonly comments?: readonly string[]
}

/** The mesh as binary little-endian PLY: vertices in their order, triangles as lists of three. */
export function writePly(mesh: Mesh, options: PlyOptions): Uint8Array {
  const { positions, triangles } = mesh
  const vertices = positions.length / 3
  const faces = triangles.length / 3
  const isDouble = options.precision === 'double'
  const type = isDouble ? 'double' : 'float'
  const comments = (options.comments ?? []).map((c) => `comment ${c.replace(/[\r\n]+/g, ' ')}\n`)
  const head = new TextEncoder().encode(
    `ply\nformat binary_little_endian 1.0\n${comments.join('')}element vertex ${vertices}\nproperty ${type} x\nproperty ${type} y\nproperty ${type} z\nelement face ${faces}\nproperty list uchar int vertex_indices\nend_header\n`,
  )
  const width = isDouble ? 8 : 4
  const bytes = new Uint8Array(head.length + 3 * width * vertices + 13 * faces)
  bytes.set(head)
  const view = new DataView(bytes.buffer)
  let at = head.length
  for (let i = 0; i < positions.length; i++, at += width) {
    if (isDouble) view.setFloat64(at, positions[i]!, true)
    else view.setFloat32(at, positions[i]!, true)
  }
  for (let t = 0; t < triangles.length; t += 3, at += 13) {
    bytes[at] = 3
    view.setInt32(at + 1, triangles[t]!, true)
    view.setInt32(at + 5, triangles[t + 1]!, true)
    view.setInt32(at + 9, triangles[t + 2]!, true)
  }
  return bytes
}
