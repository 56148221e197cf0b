import { nextHalfEdge } from '../edge-match.ts'
import type { Mesh } from '../mesh.ts'
import { keepTriangles } from './keep-triangles.ts'

/**
 * Keeps each set of three corners at most once. Of copies wound both ways, the way stays that the triangles around
 * them need; where those need none (a sheet of two opposite copies inside the bone) both go.
 */
export function dropDuplicates(mesh: Mesh): Mesh {
  const { triangles } = mesh
  const copies = copiesOf(triangles)
  if (copies.size === 0) return mesh
  const net = netUseOfEdges(triangles, copies)
  const drop = new Set<number>()
  for (const group of copies.values()) {
    const way = (t: number) => (isSameWay(triangles, group[0]!, t) ? 1 : -1)
    const sum = group.reduce((s, t) => s + way(t), 0)
    const need = neededWay(triangles, group, way, net)
    // Copies all wound one way: one of them stays, whatever lies around.
    const wanted = need !== 0 ? need : Math.abs(sum) === group.length ? Math.sign(sum) : 0
    const kept = group.find((t) => way(t) === wanted)
    for (const t of group) if (t !== kept) drop.add(t)
  }
  return keepTriangles(mesh, (t) => !drop.has(t))
}

/** Triangles with equal corner sets, two or more together. */
function copiesOf(triangles: Uint32Array): Map<string, number[]> {
  const groups = new Map<string, number[]>()
  // A cheap number first, so that text is made only for the few triangles that might match.
  const sums = new Map<number, number>()
  const sumOf = (t: number) => triangles[t]! + triangles[t + 1]! + triangles[t + 2]! + 7 * lowest(triangles, t)
  for (let t = 0; t < triangles.length; t += 3) sums.set(sumOf(t), (sums.get(sumOf(t)) ?? 0) + 1)
  for (let t = 0; t < triangles.length; t += 3) {
    if (sums.get(sumOf(t)) === 1) continue
    const key = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!].sort((a, b) => a - b).join(' ')
    const group = groups.get(key)
    if (group === undefined) groups.set(key, [t / 3])
    else group.push(t / 3)
  }
  for (const [key, group] of groups) if (group.length === 1) groups.delete(key)
  return groups
}

const lowest = (triangles: Uint32Array, t: number): number =>
  Math.min(triangles[t]!, triangles[t + 1]!, triangles[t + 2]!)

function isSameWay(triangles: Uint32Array, t: number, u: number): boolean {
  const a = triangles[3 * t]!
  const k = [0, 1, 2].find((i) => triangles[3 * u + i] === a)!
  return triangles[3 * u + ((k + 1) % 3)] === triangles[3 * t + 1]
}

/** Uses of the copies' edges by all triangles, forward less backward (from the lower vertex to the higher). */
function netUseOfEdges(triangles: Uint32Array, copies: ReadonlyMap<string, number[]>): Map<string, number> {
  const net = new Map<string, number>()
  const key = (h: number) => edgeKey(triangles[h]!, triangles[nextHalfEdge(h)]!)
  for (const group of copies.values()) for (let k = 0; k < 3; k++) net.set(key(3 * group[0]! + k), 0)
  const corners = new Set([...copies.values()].flatMap((g) => [...triangles.subarray(3 * g[0]!, 3 * g[0]! + 3)]))
  for (let h = 0; h < triangles.length; h++) {
    const a = triangles[h]!
    const b = triangles[nextHalfEdge(h)]!
    if (!corners.has(a) || !corners.has(b)) continue
    const before = net.get(edgeKey(a, b))
    if (before !== undefined) net.set(edgeKey(a, b), before + (a < b ? 1 : -1))
  }
  return net
}

const edgeKey = (a: number, b: number): string => (a < b ? `${a} ${b}` : `${b} ${a}`)

/** +1: one copy wound like the group's first is needed to balance its edges, −1: one wound the other way, 0: none. */
function neededWay(
  triangles: Uint32Array,
  group: readonly number[],
  way: (t: number) => number,
  net: ReadonlyMap<string, number>,
): number {
  const own = group.reduce((sum, t) => sum + way(t), 0)
  let others = 0
  for (let k = 0; k < 3; k++) {
    const h = 3 * group[0]! + k
    const a = triangles[h]!
    const b = triangles[nextHalfEdge(h)]!
    const all = net.get(edgeKey(a, b))!
    others += (a < b ? all : -all) - own
  }
  return others <= -2 ? 1 : others >= 2 ? -1 : 0
}
