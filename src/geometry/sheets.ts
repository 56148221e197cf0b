import { matchEdges } from './edge-match.ts'
import type { Mesh } from './mesh.ts'
import { measureShells } from './shells.ts'

/** A piece whose patches are larger than this part of its own area is a sheet: half a ball has 0.5, a flat sheet 1. */
const MOST_PATCHED = 0.6
/** Sheets that make up less than this part of the whole area are crumbs beside a body. */
const CRUMBS = 0.01

/**
 * Whether an open surface, closed by `patches` on its own vertices, is made of sheets rather than of a body with holes:
 * then its patches say nothing about an inside. Triangles that are not joined to each other count as sheets.
 */
export function isMadeOfSheets(mesh: Mesh, patches: Mesh): boolean {
  const { pieceOf, pieces } = matchEdges(mesh.triangles, mesh.positions.length / 3)
  const areas = measureShells(mesh, pieceOf, pieces).map(({ areaMm2 }) => areaMm2)
  const pieceAt = new Int32Array(mesh.positions.length / 3).fill(-1)
  mesh.triangles.forEach((v, corner) => {
    pieceAt[v] = pieceOf[Math.floor(corner / 3)]!
  })
  const patched = new Float64Array(pieces)
  for (let t = 0; t < patches.triangles.length; t += 3) {
    const piece = pieceAt[patches.triangles[t]!] ?? -1
    if (piece >= 0) patched[piece]! += triangleArea(patches, t)
  }
  const sheets = areas.reduce((sum, area, piece) => (patched[piece]! > MOST_PATCHED * area ? sum + area : sum), 0)
  return sheets > CRUMBS * areas.reduce((sum, area) => sum + area, 0)
}

function triangleArea({ positions: p, triangles }: Mesh, t: number): number {
  const a = 3 * triangles[t]!
  const b = 3 * triangles[t + 1]!
  const c = 3 * triangles[t + 2]!
  const ux = p[b]! - p[a]!
  const uy = p[b + 1]! - p[a + 1]!
  const uz = p[b + 2]! - p[a + 2]!
  const vx = p[c]! - p[a]!
  const vy = p[c + 1]! - p[a + 1]!
  const vz = p[c + 2]! - p[a + 2]!
  return Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2
}
