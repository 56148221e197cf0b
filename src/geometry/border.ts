/**
 * The border that a plane leaves on one side of a cut surface, made of passages through vertices. In general position a
 * border is simple. Where the surface has vertices in the plane it may run to and fro or touch itself; this file
 * says which passages there belong to one vertex of the cut solid, and which loops the cap has to fill.
 */
export interface BorderLoop {
  /** Per piece of the border, in order: the vertex where it starts. */
  readonly vertices: readonly number[]
  /** Per piece: its number, for the answer. */
  readonly pieces: readonly number[]
}

/** What the pairing of touching passages needs to know of the geometry, in the plane's own coordinates. */
export interface BorderGeometry {
  /** Plane coordinates of a vertex; counter-clockwise seen from the side that is kept. */
  u(vertex: number): number
  v(vertex: number): number
  /**
   * How fast the border moves to the left of the direction from `vertex` to `other` when the plane moves into the
   * side.
   */
  drift(piece: number, vertex: number, other: number): number
  /** A new vertex at the same place. */
  copy(vertex: number): number
}

export interface Border {
  /** Per piece: the vertex (or copy) where it starts and where it ends. */
  readonly start: Int32Array
  readonly end: Int32Array
  /** Loops the cap has to fill, solid on the left; a vertex may come twice where a hole touches its surroundings. */
  readonly loops: readonly (readonly number[])[]
  /** Vertices where the border touches itself. */
  readonly touching: ReadonlySet<number>
}

/**
 * @param pieceTotal how many pieces there are over all loops
 * @param copies whether passages that belong to different vertices of the solid get copies of their own
 */
export function layBorder(
  loops: readonly BorderLoop[],
  pieceTotal: number,
  geometry: BorderGeometry,
  copies: boolean,
): Border {
  const passages = new Passages(pieceTotal)
  for (const loop of loops) passages.addLoop(loop)
  passages.fold()
  const touching = passages.pairTouching(geometry)
  return passages.finish(geometry, copies, touching)
}

/** Passages of all loops, each a run of pieces that start at the same vertex; linked in order around their loop. */
class Passages {
  private readonly vertex: number[] = []
  private readonly next: number[] = []
  private readonly prev: number[] = []
  /** The piece that leads from a passage to the next one. */
  private readonly outPiece: number[] = []
  /** Whether the passage still is a corner of a loop to be filled. */
  private readonly live: boolean[] = []
  private readonly parent: number[] = []
  /** Which passage's way in continues by which passage's way out. */
  private readonly onward: number[] = []
  private readonly startPassage: Int32Array
  private readonly endPassage: Int32Array

  constructor(private readonly pieceTotal: number) {
    this.startPassage = new Int32Array(pieceTotal)
    this.endPassage = new Int32Array(pieceTotal)
  }

  addLoop({ vertices, pieces }: BorderLoop): void {
    const n = vertices.length
    const turn = vertices.findIndex((v, i) => v !== vertices[(i + n - 1) % n])
    const first = this.vertex.length
    for (let step = 0; step < n; step++) {
      const i = (Math.max(turn, 0) + step) % n
      if (step === 0 || vertices[i] !== this.vertex[this.vertex.length - 1]) this.addPassage(vertices[i]!)
      const passage = this.vertex.length - 1
      this.outPiece[passage] = pieces[i]!
      this.startPassage[pieces[i]!] = passage
    }
    const last = this.vertex.length - 1
    for (let passage = first; passage <= last; passage++) {
      this.next[passage] = passage === last ? first : passage + 1
      this.prev[passage] = passage === first ? last : passage - 1
      this.live[passage] = last - first >= 2
    }
    for (let i = 0; i < n; i++) this.endPassage[pieces[i]!] = this.startPassage[pieces[(i + 1) % n]!]!
  }

  private addPassage(vertex: number): void {
    const number = this.vertex.length
    this.vertex.push(vertex)
    this.next.push(number)
    this.prev.push(number)
    this.outPiece.push(-1)
    this.live.push(false)
    this.parent.push(number)
    this.onward.push(number)
  }

  /** Takes out every to-and-fro a, b, a: there the two walls meet each other and need no cap. */
  fold(): void {
    const waiting = this.vertex.map((_, k) => k)
    while (waiting.length > 0) {
      const tip = waiting.pop()!
      if (!this.live[tip]) continue
      const a = this.prev[tip]!
      const b = this.next[tip]!
      if (a === b || this.vertex[a] !== this.vertex[b]) continue
      this.join(a, b)
      this.live[tip] = false
      this.live[b] = false
      const after = this.next[b]!
      this.next[a] = after
      this.prev[after] = a
      this.outPiece[a] = this.outPiece[b]!
      if (after === a || this.next[after] === a) {
        this.live[a] = false
        this.live[after] = false
      } else waiting.push(a, after)
    }
  }

  /**
   * Where several passages share a vertex, continues each by the way out that bounds the same wedge of the solid, so
   * that loops never cross and a solid that only touches itself is told apart from one that hangs together.
   */
  pairTouching(geometry: BorderGeometry): Set<number> {
    const groups = new Map<number, number[]>()
    const seen = new Map<number, number>()
    this.vertex.forEach((v, passage) => {
      if (!this.live[passage]) return
      const other = seen.get(v)
      if (other === undefined) seen.set(v, passage)
      else if (groups.has(v)) groups.get(v)!.push(passage)
      else groups.set(v, [other, passage])
    })
    for (const [v, group] of groups) this.pairAt(v, group, geometry)
    return new Set(groups.keys())
  }

  private pairAt(v: number, group: readonly number[], g: BorderGeometry): void {
    const way = (passage: number, isIn: boolean) => {
      const other = this.vertex[isIn ? this.prev[passage]! : this.next[passage]!]!
      const piece = this.outPiece[isIn ? this.prev[passage]! : passage]!
      const angle = Math.atan2(g.v(other) - g.v(v), g.u(other) - g.u(v))
      return { passage, isIn, angle, drift: g.drift(piece, v, other) }
    }
    const ways = group.flatMap((passage) => [way(passage, true), way(passage, false)])
    // Clockwise; ways along the same line in the order they take just inside the side.
    ways.sort((p, q) => q.angle - p.angle || q.drift - p.drift)
    const pairs: [number, number][] = []
    ways.forEach((p, k) => {
      const q = ways[(k + 1) % ways.length]!
      if (p.isIn && !q.isIn) pairs.push([p.passage, q.passage])
    })
    if (pairs.length !== group.length) return
    for (const [arriving, leaving] of pairs) {
      this.onward[arriving] = leaving
      this.join(arriving, leaving)
    }
  }

  finish(geometry: BorderGeometry, copies: boolean, touchingAt: ReadonlySet<number>): Border {
    const label = new Int32Array(this.vertex.length).fill(-1)
    const taken = new Set<number>()
    const touching = new Set<number>()
    for (let passage = 0; passage < this.vertex.length; passage++) {
      const root = this.root(passage)
      if (label[root] === -1) {
        const v = this.vertex[root]!
        label[root] = copies && taken.has(v) ? geometry.copy(v) : v
        taken.add(v)
        if (touchingAt.has(this.vertex[root]!)) touching.add(label[root]!)
      }
      label[passage] = label[root]!
    }
    const start = new Int32Array(this.pieceTotal)
    const end = new Int32Array(this.pieceTotal)
    for (let k = 0; k < this.pieceTotal; k++) {
      start[k] = label[this.startPassage[k]!]!
      end[k] = label[this.endPassage[k]!]!
    }
    return { start, end, loops: this.walk(label), touching }
  }

  private walk(label: Int32Array): number[][] {
    const loops: number[][] = []
    const walked = new Uint8Array(this.vertex.length)
    for (let first = 0; first < this.vertex.length; first++) {
      if (!this.live[first] || walked[first]) continue
      const loop: number[] = []
      for (let at = first; !walked[at]; at = this.onward[this.next[at]!]!) {
        walked[at] = 1
        loop.push(label[at]!)
      }
      if (loop.length >= 3) loops.push(loop)
    }
    return loops
  }

  private join(a: number, b: number): void {
    const ra = this.root(a)
    const rb = this.root(b)
    this.parent[Math.max(ra, rb)] = Math.min(ra, rb)
  }

  private root(passage: number): number {
    let at = passage
    while (this.parent[at] !== at) at = this.parent[at]!
    return at
  }
}
