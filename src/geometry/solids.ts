import { ok, type Result } from '../failure.ts'
import { bareSurface } from './clip.ts'
import { EdgeTable } from './edge-table.ts'
import type { Mesh } from './mesh.ts'
import type { Plane } from './plane.ts'
import { separateTouching } from './separate.ts'
import { splitCapped, splitOpen } from './split.ts'
import { type Surface, SurfaceBuilder } from './surface.ts'
import { VertexPool } from './vertex-pool.ts'

/** A closed solid that cuts have left. */
export interface Solid {
  readonly mesh: Mesh
  /**
   * Per triangle: 0 the bone's own surface, k the surface of the k-th cut (counting from 1), `BLOCK_FACE` a step left
   * at the block's border.
   */
  readonly faceOf: Uint8Array
}

export interface ResectedSolids {
  readonly kept: Solid
  /** What each cut took, in cutting order; a cut that took nothing has no triangles. */
  readonly pieces: readonly Solid[]
}

/** Tag of faces on a block's border. */
export const BLOCK_FACE = 255

/**
 * The solids of `convexResection`: the kept bone and every removed piece as closed, capped meshes in which every edge
 * has two triangles. Planes in the mesh's frame, unit normals into the kept bone, in cutting order.
 * @param block where the cuts act: the positive side of this plane (of all of these planes). Where a cut still is in
 *   bone at the block's border, the kept bone has a step there.
 */
export function resectionSolids(
  mesh: Mesh,
  planes: readonly Plane[],
  block: Plane | readonly Plane[] = [],
): Result<ResectedSolids> {
  const pool = new VertexPool(mesh)
  const outside: SetAside[] = []
  const tables: EdgeTable[] = []
  const pieces: SetAside[] = []
  const gone: SetAside[] = []
  const touched: Plane[] = []
  let inside = bareSurface(mesh)
  for (const plane of 'normal' in block ? [block] : block) {
    const split = splitOpen(pool, inside, plane, BLOCK_FACE)
    if (!split.ok) return split
    tables.push(split.value.cutEdges)
    outside.push({ surface: split.value.negative, after: tables.length })
    inside.release()
    inside = split.value.positive
  }
  for (const [k, plane] of planes.entries()) {
    const split = splitCapped(pool, inside, plane, k + 1)
    if (!split.ok) return split
    tables.push(split.value.cutEdges)
    if (split.value.touchesVertices) touched.push(plane)
    gone.push({ surface: split.value.inPlane, after: tables.length })
    pieces.push({ surface: split.value.negative, after: tables.length })
    inside.release()
    inside = split.value.positive
  }
  const kept = outside.length === 0 ? inside : joinKept(pool, inside, outside, [...pieces, ...gone], tables, touched)
  const solids = { kept: solid(pool, kept), pieces: pieces.map((piece) => solid(pool, piece.surface)) }
  for (const { surface } of [...outside, ...pieces, ...gone]) surface.release()
  if (kept !== inside) kept.release()
  inside.release()
  return ok(solids)
}

const solid = (pool: VertexPool, surface: Surface): Solid => ({
  mesh: pool.compact(surface.triangles),
  faceOf: surface.tags.slice(),
})

/** A surface and how many of the cut tables had been made when it was set aside. */
interface SetAside {
  readonly surface: Surface
  readonly after: number
}

/**
 * Puts the kept part of the block back on the bone beyond it. The faces between them go; where something was taken
 * the bone beyond the block shows its border face, turned over. What was set aside before a cut gets that cut's
 * points on the edges it shares.
 */
function joinKept(
  pool: VertexPool,
  inside: Surface,
  outside: readonly SetAside[],
  taken: readonly SetAside[],
  cutEdges: readonly EdgeTable[],
  touched: readonly Plane[],
): Surface {
  const total = outside.reduce((sum, { surface }) => sum + surface.tags.length, inside.tags.length)
  const tables = touched.length === 0 ? cutEdges : cutEdges.map((table) => withoutCopies(pool, table))
  const out = new SurfaceBuilder(total + 64)
  // Border faces between two parts of the kept bone are inside it.
  for (const part of outside) addDivided(out, pool, part, tables, (tag) => tag !== BLOCK_FACE, false)
  const { triangles: t, tags } = inside
  for (let k = 0, i = 0; i < tags.length; k += 3, i++) {
    if (tags[i] !== BLOCK_FACE) out.add(t[k]!, t[k + 1]!, t[k + 2]!, tags[i]!)
  }
  for (const part of taken) addDivided(out, pool, part, tables, (tag) => tag === BLOCK_FACE, true)
  return touched.length === 0 ? out.finish() : rejoined(pool, out.finish(), touched)
}

/** The cut points by the originals of their edges' ends; points of edges that are copies of one another become one. */
function withoutCopies(pool: VertexPool, table: EdgeTable): EdgeTable {
  const out = new EdgeTable(256)
  table.forEach((a, b, middle) => {
    const known = out.get(pool.original(a), pool.original(b))
    if (known >= 0) pool.declareCopy(middle, known)
    else out.set(pool.original(a), pool.original(b), pool.original(middle))
  })
  return out
}

/** Each part was given copies where it alone touched itself; the whole may touch itself elsewhere. */
function rejoined(pool: VertexPool, { triangles, tags }: Surface, planes: readonly Plane[]): Surface {
  const joined = new SurfaceBuilder(tags.length)
  const one = (vertex: number): number => pool.original(vertex)
  for (let k = 0, i = 0; i < tags.length; k += 3, i++) {
    joined.add(one(triangles[k]!), one(triangles[k + 1]!), one(triangles[k + 2]!), tags[i]!)
  }
  const surface = joined.finish()
  const distances = planes.map((plane) => pool.distances(plane, surface.triangles))
  const separated = separateTouching(pool, surface, (vertex) => distances.some(({ side }) => side[vertex] === 0))
  for (const d of distances) d.release()
  return separated
}

function addDivided(
  out: SurfaceBuilder,
  pool: VertexPool,
  { surface, after }: SetAside,
  allTables: readonly EdgeTable[],
  wanted: (tag: number) => boolean,
  turned: boolean,
): void {
  const tables = allTables.slice(after)
  const marked = new Uint8Array(pool.count)
  for (const table of tables) {
    table.forEach((a, b) => {
      marked[a] = 1
      marked[b] = 1
    })
  }
  const { triangles: t, tags } = surface
  for (let k = 0, i = 0; i < tags.length; k += 3, i++) {
    const tag = tags[i]!
    if (!wanted(tag)) continue
    const a = pool.original(t[k]!)
    const b = pool.original(t[turned ? k + 2 : k + 1]!)
    const c = pool.original(t[turned ? k + 1 : k + 2]!)
    if (marked[a]! + marked[b]! + marked[c]! < 2) out.add(a, b, c, tag)
    else divide(out, tables, 0, a, b, c, tag)
  }
}

/** Adds a triangle, divided wherever one of the cuts divided one of its edges. */
function divide(
  out: SurfaceBuilder,
  tables: readonly EdgeTable[],
  from: number,
  a: number,
  b: number,
  c: number,
  tag: number,
): void {
  for (let k = from; k < tables.length; k++) {
    for (const [p, q, apex] of [
      [a, b, c],
      [b, c, a],
      [c, a, b],
    ] as const) {
      const middle = tables[k]!.get(p, q)
      if (middle < 0) continue
      divide(out, tables, k, p, middle, apex, tag)
      divide(out, tables, k, middle, q, apex, tag)
      return
    }
  }
  out.add(a, b, c, tag)
}
