import { EdgeTable } from './edge-table.ts'

/**
 * Where a surface crosses a level, as directed pieces: piece k runs from the mesh edge (fromA[k], fromB[k]) to the
 * mesh edge (toA[k], toB[k]), one piece per crossed triangle. Seen from the positive side, the solid lies on the
 * left.
 */
export class Crossings {
  readonly fromA: number[] = []
  readonly fromB: number[] = []
  readonly toA: number[] = []
  readonly toB: number[] = []

  get count(): number {
    return this.fromA.length
  }

  /**
   * Adds triangle (a, b, c), of which one or two corners are on the positive side.
   * @param inA inB inC which corners are on the positive side
   */
  add(a: number, b: number, c: number, inA: boolean, inB: boolean, inC: boolean): void {
    // A piece starts where the triangle's own circulation leaves the positive side and ends where it comes back.
    if (inA && !inB) this.from(a, b)
    else if (inB && !inC) this.from(b, c)
    else this.from(c, a)
    if (!inA && inB) this.to(a, b)
    else if (!inB && inC) this.to(b, c)
    else this.to(c, a)
  }

  private from(a: number, b: number): void {
    this.fromA.push(a)
    this.fromB.push(b)
  }

  private to(a: number, b: number): void {
    this.toA.push(a)
    this.toB.push(b)
  }
}

export interface Traces {
  /** Closed loops, each a list of pieces in order. */
  readonly loops: readonly (readonly number[])[]
  /** Chains that end at the border of an open mesh. */
  readonly chains: readonly (readonly number[])[]
}

/**
 * Joins the pieces into loops by the identity of the mesh edge they meet on, never by coordinates. On an edge that
 * more than two triangles share, each piece is continued once.
 */
export function trace(crossings: Crossings): Traces {
  const { fromA, fromB, toA, toB, count } = crossings
  const heads = new EdgeTable(count)
  const sameHead = new Int32Array(count).fill(-1)
  for (let k = count - 1; k >= 0; k--) {
    sameHead[k] = heads.get(fromA[k]!, fromB[k]!)
    heads.set(fromA[k]!, fromB[k]!, k)
  }
  const next = new Int32Array(count).fill(-1)
  const hasBefore = new Uint8Array(count)
  for (let k = 0; k < count; k++) {
    const follower = heads.get(toA[k]!, toB[k]!)
    if (follower < 0) continue
    next[k] = follower
    hasBefore[follower] = 1
    heads.set(toA[k]!, toB[k]!, sameHead[follower]!)
  }
  const taken = new Uint8Array(count)
  const follow = (first: number): number[] => {
    const pieces: number[] = []
    for (let k = first; k >= 0 && taken[k] === 0; k = next[k]!) {
      taken[k] = 1
      pieces.push(k)
    }
    return pieces
  }
  const chains: number[][] = []
  const loops: number[][] = []
  for (let k = 0; k < count; k++) if (hasBefore[k] === 0) chains.push(follow(k))
  for (let k = 0; k < count; k++) if (taken[k] === 0) loops.push(follow(k))
  return { loops, chains }
}
