import { BOUNDARY, matchEdges, NON_MANIFOLD } from '../edge-match.ts'
import type { Mesh } from '../mesh.ts'
import { measureShells } from '../shells.ts'
import { keepTriangles } from './keep-triangles.ts'

/**
 * Drops fins: sheets that hang by edges of three or more triangles, have a free border as well, and have under
 * `belowAreaFraction` (0…1) of the largest sheet's area. A sheet is what hangs together by edges of two triangles.
 */
export function dropFins(mesh: Mesh, belowAreaFraction: number): Mesh {
  const isFin = fins(mesh, belowAreaFraction)
  return keepTriangles(mesh, (t) => isFin[t] === 0)
}

/** Per triangle: 1 when it belongs to a fin. */
export function fins(mesh: Mesh, belowAreaFraction: number): Uint8Array {
  const { triangles } = mesh
  const { twin } = matchEdges(triangles, mesh.positions.length / 3)
  const { sheetOf, sheets } = sheetsOf(twin)
  const shells = measureShells(mesh, sheetOf, sheets)
  const hasBorder = new Uint8Array(sheets)
  const hangs = new Uint8Array(sheets)
  for (let h = 0; h < twin.length; h++) {
    const sheet = sheetOf[Math.floor(h / 3)]!
    if (twin[h] === BOUNDARY) hasBorder[sheet] = 1
    else if (twin[h] === NON_MANIFOLD) hangs[sheet] = 1
  }
  const least = belowAreaFraction * Math.max(0, ...shells.map((s) => s.areaMm2))
  return Uint8Array.from(sheetOf, (s) => (hasBorder[s] === 1 && hangs[s] === 1 && shells[s]!.areaMm2 < least ? 1 : 0))
}

/** Numbers the sheets: triangles that hang together by edges of exactly two triangles. */
export function sheetsOf(twin: Int32Array): { sheetOf: Uint32Array; sheets: number } {
  const count = twin.length / 3
  const none = 0xffffffff
  const sheetOf = new Uint32Array(count).fill(none)
  const queue = new Uint32Array(count)
  let sheets = 0
  for (let seed = 0; seed < count; seed++) {
    if (sheetOf[seed] !== none) continue
    let tail = 0
    queue[tail++] = seed
    sheetOf[seed] = sheets
    for (let head = 0; head < tail; head++) {
      const t = queue[head]!
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const u = twin[h]! < 0 ? -1 : Math.floor(twin[h]! / 3)
        if (u < 0 || sheetOf[u] !== none) continue
        sheetOf[u] = sheets
        queue[tail++] = u
      }
    }
    sheets++
  }
  return { sheetOf, sheets }
}
