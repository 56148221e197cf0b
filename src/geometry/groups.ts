/** Sets of numbered things that grow together (disjoint sets with halved paths; Tarjan & van Leeuwen, J ACM 1984). */
export class Groups {
  private readonly parent: Int32Array

  constructor(count: number) {
    this.parent = new Int32Array(count)
    for (let i = 0; i < count; i++) this.parent[i] = i
  }

  join(a: number, b: number): void {
    const rootA = this.root(a)
    const rootB = this.root(b)
    // The lower number leads, so that sets are numbered in order of their first member.
    if (rootA < rootB) this.parent[rootB] = rootA
    else this.parent[rootA] = rootB
  }

  /** The lowest member of the set that holds `i`. */
  root(i: number): number {
    const { parent } = this
    let at = i
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!
      at = parent[at]!
    }
    return at
  }

  /** The sets numbered from 0 in order of their first member, and the number of each member's set. */
  numbered(): { pieceOf: Uint32Array; pieces: number } {
    const pieceOf = new Uint32Array(this.parent.length)
    let pieces = 0
    for (let i = 0; i < pieceOf.length; i++) {
      const root = this.root(i)
      pieceOf[i] = root === i ? pieces++ : pieceOf[root]!
    }
    return { pieceOf, pieces }
  }
}
