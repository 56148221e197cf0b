import type { Mesh } from '../geometry/mesh.ts'

/** Triangles to look at: one normal per corner, so that smooth stays smooth and a saw cut stays sharp. Float32, mm. */
export interface DisplayMesh {
  /** 9 per triangle. */
  readonly positions: Float32Array
  /** 9 per triangle, unit. */
  readonly normals: Float32Array
  /** Subtracted from the coordinates before rounding to float32. */
  readonly origin: readonly [number, number, number]
  /** Of a ball about the origin that holds every corner, mm. */
  readonly radiusMm: number
  /** Triangles of the full mesh that this copy stands for. */
  readonly ofTriangles: number
  /** From this corner on, the triangles lie on a saw cut (0 … positions.length / 3). */
  readonly cutFromCorner: number
}

const creaseCosine = Math.cos((50 * Math.PI) / 180)

/**
 * Corner normals from the faces around each vertex that lie within 50° of the corner's own face, weighted by area.
 * A face without area gets a zero normal.
 */
export function displayMesh(
  mesh: Mesh,
  options: { readonly ofTriangles?: number; readonly onCut?: (triangle: number) => boolean } = {},
): DisplayMesh {
  const { positions: p } = mesh
  const { triangles: t, surface } = cutFacesLast(mesh, options.onCut)
  const count = t.length / 3
  const origin = boxCentre(p)
  const faces = faceNormals(p, t)
  const lengths = lengthsOf(faces)
  const { start, around } = facesAroundVertices(t, p.length / 3)
  const positions = new Float32Array(9 * count)
  const normals = new Float32Array(9 * count)
  let farthest = 0
  for (let f = 0; f < count; f++) {
    const own = creaseCosine * lengths[f]!
    const nx = faces[3 * f]!
    const ny = faces[3 * f + 1]!
    const nz = faces[3 * f + 2]!
    for (let k = 0; k < 3; k++) {
      const vertex = t[3 * f + k]!
      let x = 0
      let y = 0
      let z = 0
      for (let i = start[vertex]!; i < start[vertex + 1]!; i++) {
        const g = around[i]!
        const gx = faces[3 * g]!
        const gy = faces[3 * g + 1]!
        const gz = faces[3 * g + 2]!
        if (g !== f && nx * gx + ny * gy + nz * gz < own * lengths[g]!) continue
        x += gx
        y += gy
        z += gz
      }
      const l = Math.sqrt(x * x + y * y + z * z) || 1
      const at = 9 * f + 3 * k
      normals[at] = x / l
      normals[at + 1] = y / l
      normals[at + 2] = z / l
      const ox = p[3 * vertex]! - origin[0]
      const oy = p[3 * vertex + 1]! - origin[1]
      const oz = p[3 * vertex + 2]! - origin[2]
      positions[at] = ox
      positions[at + 1] = oy
      positions[at + 2] = oz
      farthest = Math.max(farthest, ox * ox + oy * oy + oz * oz)
    }
  }
  // Rounding to float32 may push a corner out by a part in ten million.
  const radiusMm = Math.sqrt(farthest) * (1 + 1e-6)
  return { positions, normals, origin, radiusMm, ofTriangles: options.ofTriangles ?? count, cutFromCorner: 3 * surface }
}

function cutFacesLast(mesh: Mesh, onCut: ((triangle: number) => boolean) | undefined) {
  const count = mesh.triangles.length / 3
  if (!onCut) return { triangles: mesh.triangles, surface: count }
  const triangles = new Uint32Array(mesh.triangles.length)
  let front = 0
  let back = count
  for (let f = 0; f < count; f++) {
    const at = onCut(f) ? --back : front++
    triangles.set(mesh.triangles.subarray(3 * f, 3 * f + 3), 3 * at)
  }
  return { triangles, surface: front }
}

function boxCentre(p: Float64Array): [number, number, number] {
  const low = [Infinity, Infinity, Infinity]
  const high = [-Infinity, -Infinity, -Infinity]
  for (let i = 0; i < p.length; i++) {
    const v = p[i]!
    if (v < low[i % 3]!) low[i % 3] = v
    if (v > high[i % 3]!) high[i % 3] = v
  }
  if (p.length === 0) return [0, 0, 0]
  return [(low[0]! + high[0]!) / 2, (low[1]! + high[1]!) / 2, (low[2]! + high[2]!) / 2]
}

/** Area vectors, three numbers per face. */
function faceNormals(p: Float64Array, t: Uint32Array): Float64Array {
  const out = new Float64Array(t.length)
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
    out[i] = (uy * vz - uz * vy) / 2
    out[i + 1] = (uz * vx - ux * vz) / 2
    out[i + 2] = (ux * vy - uy * vx) / 2
  }
  return out
}

function lengthsOf(vectors: Float64Array): Float64Array {
  const out = new Float64Array(vectors.length / 3)
  for (let f = 0; f < out.length; f++) {
    const x = vectors[3 * f]!
    const y = vectors[3 * f + 1]!
    const z = vectors[3 * f + 2]!
    out[f] = Math.sqrt(x * x + y * y + z * z)
  }
  return out
}

function facesAroundVertices(t: Uint32Array, vertices: number): { start: Uint32Array; around: Uint32Array } {
  const start = new Uint32Array(vertices + 1)
  for (let i = 0; i < t.length; i++) start[t[i]! + 1]!++
  for (let v = 0; v < vertices; v++) start[v + 1]! += start[v]!
  const next = start.slice()
  const around = new Uint32Array(t.length)
  for (let i = 0; i < t.length; i++) around[next[t[i]!]!++] = (i / 3) | 0
  return { start, around }
}
