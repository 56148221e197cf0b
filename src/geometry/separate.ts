import { EdgeTable } from './edge-table.ts'
import { type Surface, SurfaceBuilder } from './surface.ts'
import { cross, dot, length, sub, type Vec3 } from './vec.ts'
import type { VertexPool } from './vertex-pool.ts'

/**
 * A surface whose edges are all run along as often one way as the other, made one in which every edge has exactly two
 * triangles: where a solid touches itself along an edge, the triangles that bound one wedge of it keep together and
 * the others get copies of the vertices; where both ends hang together all the same, an edge gets a midpoint of its
 * own per wedge.
 * @param suspect vertices at which a solid may touch itself; edges elsewhere must be in order already
 */
export function separateTouching(pool: VertexPool, surface: Surface, suspect: (vertex: number) => boolean): Surface {
  const { triangles } = surface
  const around = new Map<number, number[]>()
  const ends = new EdgeTable(256)
  const edges: { a: number; b: number; corners: number[] }[] = []
  for (let k = 0; k < triangles.length; k++) {
    const a = triangles[k]!
    if (!suspect(a)) continue
    around.get(a)?.push(k) ?? around.set(a, [k])
    const b = triangles[following(k)]!
    if (!suspect(b)) continue
    let edge = ends.get(a, b)
    if (edge < 0) {
      edge = edges.length
      edges.push({ a: Math.min(a, b), b: Math.max(a, b), corners: [] })
      ends.set(a, b, edge)
    }
    edges[edge]!.corners.push(k)
  }
  const crowded = edges.filter((edge) => edge.corners.length > 2)
  if (crowded.length === 0) return surface
  const partner = new Map<number, number>()
  for (const edge of crowded) {
    for (const [k, l] of wedges(pool, surface, edge.a, edge.b, edge.corners)) {
      partner.set(k, l)
      partner.set(l, k)
    }
  }
  const out = triangles.slice()
  for (const vertex of new Set(crowded.flatMap((edge) => [edge.a, edge.b]))) {
    spread(pool, surface, out, around.get(vertex)!, partner)
  }
  return withMidpoints(pool, { triangles: out, tags: surface.tags, release: surface.release }, crowded, partner)
}

/** The corner after k in its triangle. */
const following = (k: number): number => (k % 3 === 2 ? k - 2 : k + 1)
const preceding = (k: number): number => (k % 3 === 0 ? k + 2 : k - 1)

/** Pairs the half-edges along edge ab so that each pair bounds one wedge of the solid. */
function wedges(
  pool: VertexPool,
  { triangles }: Surface,
  a: number,
  b: number,
  corners: readonly number[],
): [number, number][] {
  const origin = point(pool, a)
  const axis = sub(point(pool, b), origin)
  const first = sub(point(pool, triangles[preceding(corners[0]!)]!), origin)
  const side = cross(axis, first)
  const faces = corners.map((k) => {
    const r = sub(point(pool, triangles[preceding(k)]!), origin)
    const n = cross(axis, r)
    // The solid lies before (at a smaller angle than) a face that runs from a to b, and after one that runs back.
    return { k, closes: triangles[k] === a, angle: Math.atan2(dot(cross(side, n), axis) / length(axis), dot(side, n)) }
  })
  faces.sort((p, q) => p.angle - q.angle || (p.closes ? 1 : 0) - (q.closes ? 1 : 0))
  const pairs: [number, number][] = []
  const open = faces.filter((face) => !face.closes)
  const taken = new Set<number>()
  for (const face of open) {
    const at = faces.indexOf(face)
    for (let step = 1; step < faces.length; step++) {
      const other = faces[(at + step) % faces.length]!
      if (!other.closes || taken.has(other.k)) continue
      taken.add(other.k)
      pairs.push([face.k, other.k])
      break
    }
  }
  return pairs
}

/** Gives every fan of triangles at a vertex, but the first, a copy of it. `corners` name the vertex. */
function spread(
  pool: VertexPool,
  { triangles }: Surface,
  out: Int32Array,
  corners: readonly number[],
  partner: ReadonlyMap<number, number>,
): void {
  const vertex = triangles[corners[0]!]!
  const place = new Map(corners.map((k, i) => [k, i]))
  const parent = corners.map((_, i) => i)
  const root = (i: number): number => (parent[i] === i ? i : root(parent[i]!))
  // Half-edges out of the vertex by their other end, to meet those that come in.
  const outward = new Map<number, number>()
  for (const k of corners) outward.set(triangles[following(k)]!, k)
  for (const k of corners) {
    const incoming = preceding(k)
    const opposite = partner.get(incoming) ?? outward.get(triangles[incoming]!)
    const other = opposite === undefined ? undefined : place.get(opposite)
    if (other !== undefined) parent[root(other)] = root(place.get(k)!)
  }
  const copies = new Map<number, number>([[root(0), vertex]])
  corners.forEach((k, i) => {
    const fan = root(i)
    if (!copies.has(fan)) copies.set(fan, pool.addCopy(vertex))
    out[k] = copies.get(fan)!
  })
}

/** Divides the pairs of triangles whose edge still is there more than once. */
function withMidpoints(
  pool: VertexPool,
  surface: Surface,
  crowded: readonly { corners: readonly number[] }[],
  partner: ReadonlyMap<number, number>,
): Surface {
  const { triangles, tags } = surface
  const middleOf = new Map<number, number>()
  for (const { corners } of crowded) {
    const seen = new Set<string>()
    for (const k of corners) {
      const name = `${triangles[k]},${triangles[following(k)]}`
      const other = partner.get(k)
      if (!seen.has(name)) seen.add(name)
      else if (other !== undefined && !middleOf.has(k)) {
        const middle = pool.addBetween(triangles[k]!, triangles[following(k)]!, 0.5)
        middleOf.set(k, middle)
        middleOf.set(other, middle)
      }
    }
  }
  if (middleOf.size === 0) return surface
  const out = new SurfaceBuilder(tags.length + middleOf.size)
  for (let t = 0; t < tags.length; t++) {
    const k = [3 * t, 3 * t + 1, 3 * t + 2].find((corner) => middleOf.has(corner))
    addDivided(out, triangles, t, k, middleOf, tags[t]!)
  }
  return out.finish()
}

function addDivided(
  out: SurfaceBuilder,
  triangles: Int32Array,
  t: number,
  k: number | undefined,
  middleOf: ReadonlyMap<number, number>,
  tag: number,
): void {
  if (k === undefined) {
    out.add(triangles[3 * t]!, triangles[3 * t + 1]!, triangles[3 * t + 2]!, tag)
    return
  }
  // Up to three edges of a triangle may have midpoints: a fan from the first one.
  const ring: number[] = []
  for (let corner = k, n = 0; n < 3; n++, corner = following(corner)) {
    ring.push(triangles[corner]!)
    const middle = middleOf.get(corner)
    if (middle !== undefined) ring.push(middle)
  }
  const apex = ring[1]!
  for (let i = 2; i + 1 < ring.length + 1; i++) out.add(apex, ring[i]!, ring[(i + 1) % ring.length]!, tag)
}

const point = (pool: VertexPool, vertex: number): Vec3 => [
  pool.coordinate(vertex, 0),
  pool.coordinate(vertex, 1),
  pool.coordinate(vertex, 2),
]
