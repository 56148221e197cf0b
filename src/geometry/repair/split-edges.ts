import { BOUNDARY, matchEdges, NON_MANIFOLD, nextHalfEdge } from '../edge-match.ts'
import { Groups } from '../groups.ts'
import type { Mesh } from '../mesh.ts'
import { anyPerpendicular, cross, dot, sub, unit, type Vec3 } from '../vec.ts'

/**
 * Parts the surface along edges with more than two triangles, so that every edge has two: around such an edge each
 * triangle is paired with the next one across the solid between them, and each pair, and each fan of triangles about a
 * vertex, gets its own copy of the vertices. Nothing moves, so volume and area stay. Edges used unequally in the two
 * directions cannot be paired in full; what is left over becomes border.
 */
export function splitEdges(mesh: Mesh): Mesh {
  const { triangles } = mesh
  const vertexCount = mesh.positions.length / 3
  const { twin } = matchEdges(triangles, vertexCount)
  const partner = twin.map((h) => (h < 0 ? BOUNDARY : h))
  for (const group of sharedEdges(triangles, twin).values()) pairAround(mesh, group, partner)
  const apart = copyFans(mesh, partner)
  return divideRepeated(apart, partner)
}

/** Half-edges of edges with three or more triangles, together. */
function sharedEdges(triangles: Uint32Array, twin: Int32Array): Map<string, number[]> {
  const groups = new Map<string, number[]>()
  for (let h = 0; h < twin.length; h++) {
    if (twin[h] !== NON_MANIFOLD) continue
    const a = triangles[h]!
    const b = triangles[nextHalfEdge(h)]!
    const key = a < b ? `${a} ${b}` : `${b} ${a}`
    const group = groups.get(key)
    if (group === undefined) groups.set(key, [h])
    else group.push(h)
  }
  return groups
}

/**
 * Seen along the edge from its lower vertex, a triangle that runs forward has its solid on the clockwise side when
 * wound outward; it is paired with the first free backward one clockwise of it.
 */
function pairAround({ positions: p, triangles }: Mesh, group: readonly number[], partner: Int32Array): void {
  const point = (v: number): Vec3 => [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]
  const low = Math.min(triangles[group[0]!]!, triangles[nextHalfEdge(group[0]!)]!)
  const high = Math.max(triangles[group[0]!]!, triangles[nextHalfEdge(group[0]!)]!)
  const axis = unit(sub(point(high), point(low)))
  const e = anyPerpendicular(axis)
  const f = cross(axis, e)
  const sorted = group
    .map((h) => {
      const away = sub(point(triangles[nextHalfEdge(nextHalfEdge(h))]!), point(low))
      return { h, forward: triangles[h] === low, angle: Math.atan2(dot(away, f), dot(away, e)) }
    })
    .sort((x, y) => y.angle - x.angle || Number(y.forward) - Number(x.forward))
  const free = sorted.map(() => true)
  const n = sorted.length
  for (let gap = 1; gap < n; gap++) {
    for (let i = 0; i < n; i++) {
      const j = (i + gap) % n
      const from = sorted[i]!
      const to = sorted[j]!
      if (!free[i] || !free[j] || !from.forward || to.forward) continue
      partner[from.h] = to.h
      partner[to.h] = from.h
      free[i] = false
      free[j] = false
    }
  }
}

/** One copy of each vertex per fan of triangles that hang together through partners. */
function copyFans(mesh: Mesh, partner: Int32Array): Mesh {
  const { triangles, positions } = mesh
  const fans = new Groups(triangles.length)
  for (let h = 0; h < partner.length; h++) {
    const across = partner[h]!
    if (across < h) continue
    const alongside = triangles[h] === triangles[across]
    fans.join(h, alongside ? across : nextHalfEdge(across))
    fans.join(nextHalfEdge(h), alongside ? nextHalfEdge(across) : across)
  }
  const number = new Int32Array(triangles.length).fill(-1)
  const taken = new Uint8Array(positions.length / 3)
  const copies: number[] = []
  let next = positions.length / 3
  for (let corner = 0; corner < triangles.length; corner++) {
    const r = fans.root(corner)
    if (number[r]! >= 0) continue
    const v = triangles[corner]!
    if (taken[v] === 0) {
      taken[v] = 1
      number[r] = v
    } else {
      number[r] = next++
      copies.push(positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!)
    }
  }
  const all = new Float64Array(positions.length + copies.length)
  all.set(positions)
  all.set(copies, positions.length)
  return { positions: all, triangles: triangles.map((_, corner) => number[fans.root(corner)]!) }
}

/** Where two pairs still share both ends of an edge, all but one of them get a vertex of their own at its middle. */
function divideRepeated(mesh: Mesh, partner: Int32Array): Mesh {
  const { twin } = matchEdges(mesh.triangles, mesh.positions.length / 3)
  const { positions: p, triangles } = mesh
  const seen = new Set<string>()
  const middles: number[] = []
  const dividedAt = new Map<number, number>()
  for (let h = 0; h < twin.length; h++) {
    if (twin[h] !== NON_MANIFOLD || partner[h]! < h) continue
    const a = triangles[h]!
    const b = triangles[nextHalfEdge(h)]!
    const key = a < b ? `${a} ${b}` : `${b} ${a}`
    if (!seen.has(key)) {
      seen.add(key)
      continue
    }
    const middle = (p.length + middles.length) / 3
    for (let k = 0; k < 3; k++) middles.push((p[3 * a + k]! + p[3 * b + k]!) / 2)
    dividedAt.set(h, middle)
    dividedAt.set(partner[h]!, middle)
  }
  if (dividedAt.size === 0) return mesh
  const out: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    const border: number[] = []
    let start = -1
    for (let h = t; h < t + 3; h++) {
      border.push(triangles[h]!)
      const middle = dividedAt.get(h)
      if (middle === undefined) continue
      start = border.length
      border.push(middle)
    }
    // Fanned from a middle, so that no triangle lies along a divided edge.
    const first = Math.max(0, start)
    for (let k = 1; k + 1 < border.length; k++) {
      const at = (i: number) => border[(first + i) % border.length]!
      out.push(at(0), at(k), at(k + 1))
    }
  }
  const positions = new Float64Array(p.length + middles.length)
  positions.set(p)
  positions.set(middles, p.length)
  return { positions, triangles: Uint32Array.from(out) }
}
