import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { inBlocks, patchesOf } from './patches.ts'
import { QuadraticFit } from './quadratic.ts'

export interface Saddle {
  readonly x: number
  readonly height: number
  readonly crestAt: (x: number) => Vec3
}

/** A roof that curves less across (1/mm; real ones 0.03 and more) has no crest: over long triangles a saddle may lie askew. */
const flatPerMm = 0.005

/** Largest piece a triangle is cut into, so that the neighbourhood ends alike on every mesh, mm. */
const pieceMm = 1.5

/**
 * The saddle of height (y) of a surface near `start`: the critical point of the least-squares quadratic through the surface seen along y within
 * `radiusMm` (by area, biweight), recentred until it stays. Coordinates of the mesh, mm. Null where the surface there is no saddle,
 * hardly curves across, or its saddle lies farther off than the radius.
 */
export function saddleNear(mesh: Mesh, start: Vec3, radiusMm: number): Saddle | null {
  const surface = surfaceAbout(mesh, start, 2 * radiusMm)
  let at: readonly [number, number] = [start[0], start[2]]
  for (let round = 0; round < 80; round++) {
    const fit = quadraticAbout(surface, at, radiusMm)
    if (fit === null) return null
    const [height, gx, gz, xx, xz, zz] = fit
    const det = 4 * xx * zz - xz * xz
    if (!(det < -1e-10)) return null
    const step = [(-2 * zz * gx + xz * gz) / det, (xz * gx - 2 * xx * gz) / det] as const
    const length = Math.hypot(...step)
    const share = Math.min(1, (0.4 * radiusMm) / length)
    at = [at[0] + share * step[0], at[1] + share * step[1]]
    if (Math.hypot(at[0] - start[0], at[1] - start[2]) > radiusMm) return null
    if (length < 1e-8) return zz < -flatPerMm ? { x: at[0], height, crestAt: (x) => crest(fit, at, x) } : null
  }
  return null
}

/** The highest place across of the quadratic in the slice at x. */
function crest([height, gx, gz, xx, xz, zz]: Quadratic, [atX, atZ]: readonly [number, number], x: number): Vec3 {
  const u = x - atX
  const w = -(gz + xz * u) / (2 * zz)
  return [x, height + gx * u + gz * w + xx * u * u + xz * u * w + zz * w * w, atZ + w]
}

interface Surface {
  readonly count: number
  readonly centres: Float64Array
  /** Area seen along y. */
  readonly seen: Float64Array
}

function surfaceAbout(mesh: Mesh, at: Vec3, reach: number): Surface {
  const p = mesh.positions
  const [x, y, z] = at
  const far = reach + pieceMm
  const near = (i: number): boolean =>
    Math.abs(p[i]! - x) < far && Math.abs(p[i + 1]! - y) < far && Math.abs(p[i + 2]! - z) < far
  const { count, centres, normals, areas } = patchesOf(mesh, pieceMm, near)
  const seen = new Float64Array(count)
  for (let i = 0; i < count; i++)
    if (Math.abs(centres[3 * i + 1]! - at[1]) < reach) seen[i] = Math.abs(normals[3 * i + 1]!) * areas[i]!
  return { count, centres, seen }
}

type Quadratic = readonly [height: number, gx: number, gz: number, xx: number, xz: number, zz: number]

/** c0 + gx·x + gz·z + xx·x² + xz·x·z + zz·z² about a place, mm. */
function quadraticAbout(
  { count, centres, seen }: Surface,
  [atX, atZ]: readonly [number, number],
  r: number,
): Quadratic | null {
  const fit = new QuadraticFit()
  inBlocks(count, (from, to) => addPieces({ centres, seen }, from, to, [atX, atZ], r, fit))
  const c = fit.solve()
  return c && [c[0]!, c[1]! / r, c[2]! / r, c[3]! / r / r, c[4]! / r / r, c[5]! / r / r]
}

function addPieces(
  { centres, seen }: Omit<Surface, 'count'>,
  from: number,
  to: number,
  [atX, atZ]: readonly [number, number],
  r: number,
  fit: QuadraticFit,
): void {
  for (let i = from; i < to; i++) {
    const x = (centres[3 * i]! - atX) / r
    const z = (centres[3 * i + 2]! - atZ) / r
    const q = x * x + z * z
    if (q >= 1 || seen[i] === 0) continue
    fit.add(x, z, centres[3 * i + 1]!, seen[i]! * (1 - q) * (1 - q))
  }
}
