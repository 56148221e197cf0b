import { deflateSync } from 'node:zlib'
import type { Mesh } from '../src/geometry/mesh.ts'
import { type Frame, intoFrame } from '../src/geometry/rigid.ts'
import { png } from './png.ts'

/** What a picture shows: a window of the frame's coronal plane seen from in front, mm. */
export interface View {
  readonly frame: Frame
  readonly widthMm: number
  readonly heightMm: number
  readonly pxPerMm: number
}

const samples = 2

/**
 * Shaded picture of meshes seen from in front (along −X of the frame, Y up), orthographic, on a transparent ground, as
 * PNG bytes. Lit from the upper left; smooth shading over shared vertices.
 */
export function picture(meshes: readonly Mesh[], view: View): Uint8Array {
  const width = Math.round(view.widthMm * view.pxPerMm)
  const height = Math.round(view.heightMm * view.pxPerMm)
  const fine = { width: width * samples, height: height * samples, scale: view.pxPerMm * samples }
  const depth = new Float32Array(fine.width * fine.height).fill(Number.NEGATIVE_INFINITY)
  const shade = new Float32Array(fine.width * fine.height)
  for (const mesh of meshes) draw(mesh, view.frame, fine, depth, shade)
  const rgba = new Uint8Array(width * height * 4)
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      let covered = 0
      let light = 0
      for (let s = 0; s < samples * samples; s++) {
        const at = (y * samples + Math.floor(s / samples)) * fine.width + x * samples + (s % samples)
        if (depth[at] === Number.NEGATIVE_INFINITY) continue
        covered++
        light += shade[at]!
      }
      if (covered === 0) continue
      const tone = 0.22 + 0.78 * (light / covered)
      const ivory = [243, 231, 208]
      for (let k = 0; k < 3; k++) rgba[4 * (y * width + x) + k] = Math.round(ivory[k]! * tone)
      rgba[4 * (y * width + x) + 3] = Math.round((255 * covered) / (samples * samples))
    }
  return png(width, height, rgba, deflateSync)
}

interface Raster {
  readonly width: number
  readonly height: number
  readonly scale: number
}

function draw(mesh: Mesh, frame: Frame, raster: Raster, depth: Float32Array, shade: Float32Array): void {
  const { rotation: r, translation: t } = intoFrame(frame)
  const p = mesh.positions
  const n = p.length / 3
  // Seen from in front the subject's right is on the left of the picture.
  const sx = new Float64Array(n)
  const sy = new Float64Array(n)
  const sz = new Float64Array(n)
  for (let v = 0; v < n; v++) {
    const [x, y, z] = [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]
    sz[v] = r[0] * x + r[1] * y + r[2] * z + t[0]
    sy[v] = raster.height / 2 - raster.scale * (r[3] * x + r[4] * y + r[5] * z + t[1])
    sx[v] = raster.width / 2 - raster.scale * (r[6] * x + r[7] * y + r[8] * z + t[2])
  }
  const light = vertexLight(mesh.triangles, sx, sy, sz, raster.scale)
  for (let i = 0; i < mesh.triangles.length; i += 3)
    fill(mesh.triangles[i]!, mesh.triangles[i + 1]!, mesh.triangles[i + 2]!)

  function fill(a: number, b: number, c: number): void {
    const det = (sx[b]! - sx[a]!) * (sy[c]! - sy[a]!) - (sx[c]! - sx[a]!) * (sy[b]! - sy[a]!)
    if (det >= 0) return
    const left = Math.max(0, Math.floor(Math.min(sx[a]!, sx[b]!, sx[c]!)))
    const right = Math.min(raster.width - 1, Math.ceil(Math.max(sx[a]!, sx[b]!, sx[c]!)))
    const top = Math.max(0, Math.floor(Math.min(sy[a]!, sy[b]!, sy[c]!)))
    const bottom = Math.min(raster.height - 1, Math.ceil(Math.max(sy[a]!, sy[b]!, sy[c]!)))
    for (let y = top; y <= bottom; y++)
      for (let x = left; x <= right; x++) {
        const wb = ((x - sx[a]!) * (sy[c]! - sy[a]!) - (sx[c]! - sx[a]!) * (y - sy[a]!)) / det
        const wc = ((sx[b]! - sx[a]!) * (y - sy[a]!) - (x - sx[a]!) * (sy[b]! - sy[a]!)) / det
        const wa = 1 - wb - wc
        if (wa < 0 || wb < 0 || wc < 0) continue
        const z = wa * sz[a]! + wb * sz[b]! + wc * sz[c]!
        const at = y * raster.width + x
        if (z <= depth[at]!) continue
        depth[at] = z
        shade[at] = wa * light[a]! + wb * light[b]! + wc * light[c]!
      }
  }
}

/** Brightness 0…1 of every vertex under a lamp at the upper left in front. */
function vertexLight(triangles: Uint32Array, sx: Float64Array, sy: Float64Array, sz: Float64Array, scale: number) {
  const normals = new Float64Array(sx.length * 3)
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [triangles[i]!, triangles[i + 1]!, triangles[i + 2]!]
    const [ux, uy, uz] = [sx[b]! - sx[a]!, sy[a]! - sy[b]!, (sz[b]! - sz[a]!) * scale]
    const [vx, vy, vz] = [sx[c]! - sx[a]!, sy[a]! - sy[c]!, (sz[c]! - sz[a]!) * scale]
    const normal = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]
    for (const v of [a, b, c]) for (let k = 0; k < 3; k++) normals[3 * v + k] = normals[3 * v + k]! + normal[k]!
  }
  const lamp = [-0.38, 0.52, 0.765]
  return Float64Array.from(sx, (_, v) => {
    const [x, y, z] = [normals[3 * v]!, normals[3 * v + 1]!, normals[3 * v + 2]!]
    const towards = (x * lamp[0]! + y * lamp[1]! + z * lamp[2]!) / (Math.hypot(x, y, z) || 1)
    return Math.max(0, towards)
  })
}
