import earcut from 'earcut'

/**
 * Fills plane loops with triangles whose border is exactly the loops' edges. Loops are vertex numbers, solid on the
 * left (outer counter-clockwise, holes clockwise in (u, v)); triangles come counter-clockwise. A loop that encloses
 * nothing measurable is still filled, so that the border always matches.
 * @param u v plane coordinates of a vertex number
 * @param touching vertices where loops touch each other or themselves
 */
export function fillLoops(
  loops: readonly (readonly number[])[],
  u: (vertex: number) => number,
  v: (vertex: number) => number,
  touching: ReadonlySet<number>,
): number[] {
  const out: number[] = []
  for (const { outer, holes } of nest(loops, u, v)) {
    const rings = [outer, ...holes]
    const vertices = rings.flat()
    for (const local of triangulate(rings, drawnApart(rings, u, v, touching))) out.push(vertices[local]!)
  }
  return out
}

/** How far, relative to the size of a corner's sides, loops that touch are drawn apart for the triangulation only. */
const APART = 1e-7

/**
 * Plane coordinates of the rings; corners where they touch something are moved a hair into the solid, so that nothing
 * touches.
 */
function drawnApart(
  rings: readonly (readonly number[])[],
  u: (vertex: number) => number,
  v: (vertex: number) => number,
  touching: ReadonlySet<number>,
): number[] {
  // About a corner of its own, so that areas do not cancel.
  const u0 = u(rings[0]![0]!)
  const v0 = v(rings[0]![0]!)
  return rings.flatMap((ring) =>
    ring.flatMap((vertex, k) => {
      const at = [u(vertex) - u0, v(vertex) - v0] as const
      if (!touching.has(vertex)) return at
      const before = ring[(k + ring.length - 1) % ring.length]!
      const after = ring[(k + 1) % ring.length]!
      const step = intoSolid(u(vertex) - u(before), v(vertex) - v(before), u(after) - u(vertex), v(after) - v(vertex))
      return [at[0] + step[0], at[1] + step[1]]
    }),
  )
}

/** A small step from a corner to the left of its two sides; none where the border turns right back. */
function intoSolid(inU: number, inV: number, outU: number, outV: number): readonly [number, number] {
  const inLength = Math.hypot(inU, inV)
  const outLength = Math.hypot(outU, outV)
  if (!(inLength > 0 && outLength > 0)) return [0, 0]
  const leftU = -(inV / inLength) - outV / outLength
  const leftV = inU / inLength + outU / outLength
  const left = Math.hypot(leftU, leftV)
  if (left < 1e-9) return [0, 0]
  const step = (APART * Math.min(inLength, outLength)) / left
  return [step * leftU, step * leftV]
}

/** Turns of the plane tried before the best of them is taken. */
const TURNS = 8
const GOLDEN_ANGLE = Math.PI * (3 - Math.sqrt(5))

/**
 * Triangles (numbers of ring corners in order) that fill the rings. The triangulation library can overlap itself
 * where corners are collinear along the axes it sweeps; then the plane is turned and it is tried again.
 */
function triangulate(rings: readonly (readonly number[])[], points: readonly number[]): number[] {
  const holeStarts: number[] = []
  let length = rings[0]!.length
  for (const hole of rings.slice(1)) {
    holeStarts.push(length)
    length += hole.length
  }
  if (length === 3) return [0, 1, 2]
  let best: number[] = []
  let bestExcess = Number.POSITIVE_INFINITY
  for (let turn = 0; turn < TURNS; turn++) {
    const c = Math.cos(turn * GOLDEN_ANGLE)
    const s = Math.sin(turn * GOLDEN_ANGLE)
    const turned = points.map((x, k) => (k % 2 === 0 ? c * x - s * points[k + 1]! : s * points[k - 1]! + c * x))
    const raw = earcut(turned, holeStarts)
    if (sumOfAreas(raw, turned) < 0) {
      for (let k = 0; k < raw.length; k += 3) [raw[k + 1], raw[k + 2]] = [raw[k + 2]!, raw[k + 1]!]
    }
    const filled = matchBorder(raw, rings)
    const excess = sumOfAreas(filled, points, true) - Math.abs(sumOfAreas(filled, points))
    if (excess < bestExcess) {
      best = filled
      bestExcess = excess
    }
    if (bestExcess <= 1e-11 * sumOfAreas(filled, points, true)) break
  }
  return best
}

interface Nested {
  readonly outer: readonly number[]
  readonly holes: (readonly number[])[]
}

/** Each hole goes to the smallest outer loop around it; a hole without one stands alone. */
function nest(
  loops: readonly (readonly number[])[],
  u: (vertex: number) => number,
  v: (vertex: number) => number,
): Nested[] {
  const sized = loops.map((loop) => ({ loop, area: signedArea(loop, u, v) }))
  const outers = sized.filter((l) => l.area > 0).sort((a, b) => a.area - b.area)
  const nested = outers.map((l): Nested => ({ outer: l.loop, holes: [] }))
  for (const hole of sized) {
    if (hole.area > 0) continue
    const home = outers.findIndex((l) => l.area > -hole.area && surrounds(l.loop, hole.loop, u, v))
    if (home >= 0) nested[home]!.holes.push(hole.loop)
    else nested.push({ outer: hole.loop, holes: [] })
  }
  return nested
}

function signedArea(loop: readonly number[], u: (vertex: number) => number, v: (vertex: number) => number): number {
  const u0 = u(loop[0]!)
  const v0 = v(loop[0]!)
  let twice = 0
  for (let k = 1; k + 1 < loop.length; k++) {
    twice += (u(loop[k]!) - u0) * (v(loop[k + 1]!) - v0) - (u(loop[k + 1]!) - u0) * (v(loop[k]!) - v0)
  }
  return twice / 2
}

/**
 * Whether `inner`, which touches `outer` at most, lies inside it: told by its first corner, or else middle of an edge,
 * that is not on `outer`'s own line. Corners are compared by place, for an earlier cut may have made copies of them.
 */
function surrounds(
  outer: readonly number[],
  inner: readonly number[],
  u: (vertex: number) => number,
  v: (vertex: number) => number,
): boolean {
  const following = (k: number): number => inner[(k + 1) % inner.length]!
  const corners = inner.map((a) => [u(a), v(a)] as const)
  const middles = inner.map((a, k) => [(u(a) + u(following(k))) / 2, (v(a) + v(following(k))) / 2] as const)
  for (const [pu, pv] of [...corners, ...middles]) {
    const inside = isInside(outer, pu, pv, u, v)
    if (inside !== null) return inside
  }
  return true
}

/** Whether a point lies inside a loop; null on its line. */
function isInside(
  loop: readonly number[],
  pu: number,
  pv: number,
  u: (vertex: number) => number,
  v: (vertex: number) => number,
): boolean | null {
  let inside = false
  for (let k = 0, l = loop.length - 1; k < loop.length; l = k++) {
    const au = u(loop[k]!) - pu
    const av = v(loop[k]!) - pv
    const bu = u(loop[l]!) - pu
    const bv = v(loop[l]!) - pv
    const size = Math.abs(au) + Math.abs(av) + Math.abs(bu) + Math.abs(bv)
    const onLine = Math.abs(au * bv - av * bu) <= 1e-12 * size * size
    if (onLine && au * bu + av * bv <= 1e-12 * size * size) return null
    if (av > 0 !== bv > 0 && au - (av / (bv - av)) * (bu - au) > 0) inside = !inside
  }
  return inside
}

/** Sum of the triangles' signed areas, or of their absolute ones. */
function sumOfAreas(triangles: readonly number[], c: readonly number[], absolute = false): number {
  let twice = 0
  for (let k = 0; k < triangles.length; k += 3) {
    const i = 2 * triangles[k]!
    const j = 2 * triangles[k + 1]!
    const l = 2 * triangles[k + 2]!
    const a = (c[j]! - c[i]!) * (c[l + 1]! - c[i + 1]!) - (c[l]! - c[i]!) * (c[j + 1]! - c[i + 1]!)
    twice += absolute ? Math.abs(a) : a
  }
  return twice / 2
}

/**
 * Makes the triangles' border equal to the rings' edges: vertices that the triangulation left out (collinear or
 * coincident ones) are put back by splitting the triangle whose edge passes over them; whatever then still differs
 * forms cycles, which are fanned.
 */
function matchBorder(triangles: readonly number[], rings: readonly (readonly number[])[]): number[] {
  const base = Math.max(0, ...rings.map((ring) => ring.length)) + rings.reduce((sum, ring) => sum + ring.length, 0)
  const key = (a: number, b: number): number => a * base + b
  const wanted = new Map<number, number>()
  const successor: number[] = []
  let first = 0
  for (const ring of rings) {
    for (let k = 0; k < ring.length; k++) {
      const a = first + k
      const b = first + ((k + 1) % ring.length)
      wanted.set(key(a, b), 1)
      successor[a] = b
    }
    first += ring.length
  }
  const out = [...triangles]
  const border = borderOf(out, key)
  const missing = [...wanted.keys()].filter((edge) => !border.has(edge))
  if (missing.length === 0 && border.size === wanted.size) return out
  const missingStarts = new Set(missing.map((edge) => Math.floor(edge / base)))
  for (const [edge, triangle] of border) {
    if (wanted.has(edge)) continue
    const a = Math.floor(edge / base)
    const b = edge % base
    const between = pathBetween(a, b, successor, missingStarts)
    if (between.length > 0) splitTriangle(out, triangle, a, b, between)
  }
  closeCycles(out, wanted, key, base)
  return out
}

/** Directed edges without an opposite, with the triangle (its first index in the list) they belong to. */
function borderOf(triangles: readonly number[], key: (a: number, b: number) => number): Map<number, number> {
  const border = new Map<number, number>()
  for (let k = 0; k < triangles.length; k += 3) {
    for (let c = 0; c < 3; c++) {
      const a = triangles[k + c]!
      const b = triangles[k + ((c + 1) % 3)]!
      if (!border.delete(key(b, a))) border.set(key(a, b), k)
    }
  }
  return border
}

/** The vertices strictly between a and b along the ring, if every edge on the way is missing from the border. */
function pathBetween(a: number, b: number, successor: readonly number[], missingStarts: Set<number>): number[] {
  const path: number[] = []
  for (let at = a; at !== b; at = successor[at]!) {
    if (!missingStarts.has(at) || path.length > successor.length) return []
    if (at !== a) path.push(at)
  }
  return path
}

function splitTriangle(triangles: number[], triangle: number, a: number, b: number, between: readonly number[]): void {
  const corner = [0, 1, 2].find((c) => triangles[triangle + c] === a && triangles[triangle + ((c + 1) % 3)] === b)
  // An earlier split of the same triangle may have moved the edge into another one.
  const home = corner === undefined ? findEdge(triangles, a, b) : triangle + corner
  if (home < 0) return
  const start = home - (home % 3)
  const apex = triangles[start + (((home % 3) + 2) % 3)]!
  const path = [a, ...between, b]
  triangles[start] = path[0]!
  triangles[start + 1] = path[1]!
  triangles[start + 2] = apex
  for (let k = 1; k + 1 < path.length; k++) triangles.push(path[k]!, path[k + 1]!, apex)
}

function findEdge(triangles: readonly number[], a: number, b: number): number {
  for (let k = 0; k < triangles.length; k++) {
    if (triangles[k] === a && triangles[k - (k % 3) + ((k + 1) % 3)] === b) return k
  }
  return -1
}

/** Fans every cycle by which the border still differs from the wanted edges. */
function closeCycles(
  triangles: number[],
  wanted: ReadonlyMap<number, number>,
  key: (a: number, b: number) => number,
  base: number,
): void {
  const border = borderOf(triangles, key)
  const next = new Map<number, number[]>()
  const put = (a: number, b: number): void => {
    const list = next.get(a)
    if (list) list.push(b)
    else next.set(a, [b])
  }
  for (const edge of wanted.keys()) if (!border.has(edge)) put(Math.floor(edge / base), edge % base)
  for (const edge of border.keys()) if (!wanted.has(edge)) put(edge % base, Math.floor(edge / base))
  for (const start of next.keys()) {
    while (next.get(start)!.length > 0) {
      const cycle: number[] = [start]
      for (let at = next.get(start)!.pop()!; at !== start; ) {
        cycle.push(at)
        const onward = next.get(at)?.pop()
        if (onward === undefined) break
        at = onward
      }
      for (let k = 1; k + 1 < cycle.length; k++) triangles.push(cycle[0]!, cycle[k]!, cycle[k + 1]!)
    }
  }
}
