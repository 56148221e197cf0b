/**
 * How a surface passes a cube whose corners are inside or outside. Corner c sits at (c & 1, c>>1 & 1, c>>2).
 * Edges 0–3 run along x, 4–7 along y, 8–11 along z; within each four, +1 is the far side in the first of the two
 * other axes (cyclic order) and +2 the far side in the second.
 */
export const cellEdges: readonly (readonly [number, number])[] = [0, 1, 2].flatMap((axis) => {
  const along = 1 << axis
  const first = 1 << ((axis + 1) % 3)
  const second = 1 << ((axis + 2) % 3)
  return [0, first, second, first + second].map((base): readonly [number, number] => [base, base + along])
})

interface CellLoops {
  /** Closed loops of crossed edges, one per surface sheet. */
  readonly loops: readonly (readonly number[])[]
  /** Sheet of each edge; −1 where the edge is not crossed. */
  readonly loopOfEdge: Int8Array
}

/** For each of the 256 corner patterns (bit set: inside) its sheets; on an ambiguous face the inside corners stay apart. */
export const cellLoops: readonly CellLoops[] = Array.from({ length: 256 }, (_, mask) => loopsOf(mask))

function loopsOf(mask: number): CellLoops {
  const links = new Map<number, number[]>()
  const link = (a: number, b: number) => {
    links.set(a, [...(links.get(a) ?? []), b])
    links.set(b, [...(links.get(b) ?? []), a])
  }
  for (let axis = 0; axis < 3; axis++) for (const side of [0, 1]) linkFace(axis, side, mask, link)
  const loopOfEdge = new Int8Array(12).fill(-1)
  const loops: number[][] = []
  for (const start of links.keys()) {
    if (loopOfEdge[start] !== -1) continue
    const loop: number[] = []
    let edge: number | undefined = start
    while (edge !== undefined) {
      loopOfEdge[edge] = loops.length
      loop.push(edge)
      edge = links.get(edge)!.find((e) => loopOfEdge[e] === -1)
    }
    loops.push(loop)
  }
  return { loops, loopOfEdge }
}

function linkFace(axis: number, side: number, mask: number, link: (a: number, b: number) => void): void {
  const base = side << axis
  const u = 1 << ((axis + 1) % 3)
  const v = 1 << ((axis + 2) % 3)
  const ring = [base, base + u, base + u + v, base + v]
  const inside = ring.map((c) => ((mask >> c) & 1) === 1)
  const edge = ring.map((c, i) => edgeBetween(c, ring[(i + 1) % 4]!))
  const crossed = edge.filter((_, i) => inside[i] !== inside[(i + 1) % 4])
  if (crossed.length === 2) link(crossed[0]!, crossed[1]!)
  // Both edges at an inside corner belong to the sheet that cuts that corner off.
  if (crossed.length === 4) for (let i = 0; i < 4; i++) if (inside[i]) link(edge[(i + 3) % 4]!, edge[i]!)
}

function edgeBetween(a: number, b: number): number {
  return cellEdges.findIndex(([p, q]) => (p === a && q === b) || (p === b && q === a))
}
