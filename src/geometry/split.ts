import { fail, ok, type Result } from '../failure.ts'
import { type Border, type BorderGeometry, layBorder } from './border.ts'
import { fillLoops } from './cap.ts'
import { Crossings, trace } from './contour.ts'
import { EdgeTable } from './edge-table.ts'
import { offsetPlane, type Plane } from './plane.ts'
import { planeBasis } from './plane-basis.ts'
import { separateTouching } from './separate.ts'
import { type Surface, SurfaceBuilder } from './surface.ts'
import { scale } from './vec.ts'
import type { Distances, VertexPool } from './vertex-pool.ts'

export interface Split {
  readonly positive: Surface
  readonly negative: Surface
  /** The point each crossed edge got. */
  readonly cutEdges: EdgeTable
  /** Triangles that lie in the plane with all their corners: they are of neither side, caps stand in for them. */
  readonly inPlane: Surface
  /** Whether vertices of the surface lie in the plane. */
  readonly touchesVertices: boolean
}

/**
 * Divides a closed surface into two closed ones along a plane; the caps carry `tag`. Each side is the limit of
 * cutting just inside it, so a face that lies in the plane belongs to the side that has the solid, and a side that
 * only touches the plane is empty. Where a side touches itself in the plane, each passage gets its own copy of the
 * vertex, so every edge has two triangles.
 */
export function splitCapped(pool: VertexPool, surface: Surface, plane: Plane, tag: number): Result<Split> {
  const cut = new PlaneCut(pool, surface, plane)
  const split = cutCapped(cut, tag)
  cut.release()
  return split
}

function cutCapped(cut: PlaneCut, tag: number): Result<Split> {
  const positive = cut.side(1, true)
  if (positive.broken) return openBoundary()
  const cap = cut.cap(1, positive)
  // Without vertices in the plane both sides share one border and one cap.
  const shared = !cut.touchesVertices
  const negative = shared ? positive : cut.side(-1, true)
  if (negative.broken) return openBoundary()
  const above = cut.walls(1, positive, 1)
  addCap(above, cap, tag, true)
  const below = shared ? cut.walls(-1, positive, -1) : cut.walls(-1, negative, 1)
  if (shared) addCap(below, cap, tag, false)
  else addCap(below, cut.cap(-1, negative), tag, true)
  return ok({
    positive: cut.inOrder(above.finish()),
    negative: cut.inOrder(below.finish()),
    cutEdges: cut.points,
    inPlane: cut.inPlane(),
    touchesVertices: cut.touchesVertices,
  })
}

/**
 * Divides a closed surface along a plane into the capped positive side and the bare rest of the surface, which meets
 * the former vertex by vertex along the seam. If vertices lie in the plane it is moved a few hundred roundings back,
 * for faces in it would be on both sides.
 */
export function splitOpen(pool: VertexPool, surface: Surface, plane: Plane, tag: number): Result<Split> {
  let cut = new PlaneCut(pool, surface, plane)
  for (let step = 1; cut.touchesVertices && step < 64; step++) {
    cut.release()
    cut = new PlaneCut(pool, surface, offsetPlane(plane, -32 * step * pool.snapDistance(plane)))
  }
  const split = cutOpen(cut, tag)
  cut.release()
  return split
}

function cutOpen(cut: PlaneCut, tag: number): Result<Split> {
  const side = cut.side(1, false)
  if (side.broken) return openBoundary()
  const above = cut.walls(1, side, 1)
  addCap(above, cut.cap(1, side), tag, true)
  return ok({
    positive: above.finish(),
    negative: cut.rest(side).finish(),
    cutEdges: cut.points,
    inPlane: cut.inPlane(),
    touchesVertices: cut.touchesVertices,
  })
}

const openBoundary = () =>
  fail('cut/touches-open-boundary', 'The cut runs through a hole of the mesh, so the cut solid has no cap there.', {
    hint: 'Close the hole, or move the cut away from it.',
  })

function addCap(to: SurfaceBuilder, caps: readonly number[], tag: number, turned: boolean): void {
  for (let k = 0; k < caps.length; k += 3) {
    if (turned) to.add(caps[k]!, caps[k + 2]!, caps[k + 1]!, tag)
    else to.add(caps[k]!, caps[k + 1]!, caps[k + 2]!, tag)
  }
}

/** The border of one side, per crossed triangle and as loops. */
interface Side extends Border {
  readonly crossed: readonly number[]
  /** A border ran into a hole of the surface. */
  readonly broken: boolean
}

class PlaneCut {
  readonly points: EdgeTable
  readonly touchesVertices: boolean
  private readonly distances: Distances
  /** How many vertices there were before the cut made new ones. */
  private readonly vertexTotal: number
  /** Triangles wholly on one side. */
  private readonly above: SurfaceBuilder
  private readonly below: SurfaceBuilder
  /** Triangles (first corner) partly on the positive side, partly on the negative one, and in the plane. */
  private readonly crossedAbove: number[] = []
  private readonly crossedBelow: number[] = []
  private readonly flat: number[] = []

  constructor(
    private readonly pool: VertexPool,
    private readonly surface: Surface,
    private readonly plane: Plane,
  ) {
    const { triangles, tags } = surface
    this.distances = pool.distances(plane, triangles)
    this.vertexTotal = pool.count
    const { side } = this.distances
    const above = new SurfaceBuilder(tags.length + 256)
    const below = new SurfaceBuilder(tags.length + 256)
    let touches = false
    for (let k = 0, t = 0; t < tags.length; k += 3, t++) {
      const a = triangles[k]!
      const b = triangles[k + 1]!
      const c = triangles[k + 2]!
      const sa = side[a]!
      const sb = side[b]!
      const sc = side[c]!
      if (sa === sb && sb === sc && sa !== 0) {
        if (sa > 0) above.addWhole(a, b, c, tags[t]!)
        else below.addWhole(a, b, c, tags[t]!)
        continue
      }
      if (sa > 0 || sb > 0 || sc > 0) this.crossedAbove.push(k)
      if (sa < 0 || sb < 0 || sc < 0) this.crossedBelow.push(k)
      if (sa === 0 || sb === 0 || sc === 0) {
        touches = true
        if (sa === 0 && sb === 0 && sc === 0) this.flat.push(k)
      }
    }
    this.above = above
    this.below = below
    this.touchesVertices = touches
    this.points = new EdgeTable(2 * this.crossedAbove.length)
  }

  /**
   * A cap can run along itself where the border does; what then has more than two triangles at an edge is taken
   * apart.
   */
  inOrder(side: Surface): Surface {
    if (!this.touchesVertices) return side
    const at = this.distances.side
    return separateTouching(this.pool, side, (vertex) => vertex >= this.vertexTotal || at[vertex] === 0)
  }

  release(): void {
    this.distances.release()
  }

  inPlane(): Surface {
    const out = new SurfaceBuilder(this.flat.length)
    for (const k of this.flat) this.addTriangle(out, k)
    return out.finish()
  }

  /** @param copies whether a vertex where the side touches itself is copied for each part of the solid */
  side(sign: 1 | -1, copies: boolean): Side {
    const crossed = sign > 0 ? this.crossedAbove : this.crossedBelow
    const { triangles } = this.surface
    const { side } = this.distances
    const crossings = new Crossings()
    for (const k of crossed) {
      const a = triangles[k]!
      const b = triangles[k + 1]!
      const c = triangles[k + 2]!
      crossings.add(a, b, c, side[a] === sign, side[b] === sign, side[c] === sign)
    }
    const { loops, chains } = trace(crossings)
    const borders = loops.map((pieces) => ({
      pieces,
      vertices: pieces.map((k) => this.vertex(crossings.fromA[k]!, crossings.fromB[k]!)),
    }))
    const border = layBorder(borders, crossed.length, this.geometry(sign, crossed), copies)
    return { ...border, crossed, broken: chains.length > 0 }
  }

  private geometry(sign: 1 | -1, crossed: readonly number[]): BorderGeometry {
    const { pool } = this
    const { mm, side } = this.distances
    const { triangles } = this.surface
    const [u, v] = planeBasis(scale(this.plane.normal, sign))
    return {
      u: (vertex) => pool.along(vertex, u),
      v: (vertex) => pool.along(vertex, v),
      copy: (vertex) => pool.addCopy(vertex),
      drift: (piece, vertex, other) => {
        const k = crossed[piece]!
        const apex = [triangles[k]!, triangles[k + 1]!, triangles[k + 2]!].find((w) => side[w] === sign)!
        const du = pool.along(other, u) - pool.along(vertex, u)
        const dv = pool.along(other, v) - pool.along(vertex, v)
        const au = pool.along(apex, u) - pool.along(vertex, u)
        const av = pool.along(apex, v) - pool.along(vertex, v)
        return (du * av - dv * au) / (sign * mm[apex]!)
      },
    }
  }

  /** The vertex where an edge meets the plane: an end that lies in it, else the edge's own point. */
  private vertex(a: number, b: number): number {
    const { mm, side } = this.distances
    if (side[a] === 0) return a
    if (side[b] === 0) return b
    const known = this.points.get(a, b)
    if (known >= 0) return known
    const lo = Math.min(a, b)
    const hi = Math.max(a, b)
    const number = this.pool.addBetween(lo, hi, mm[lo]! / (mm[lo]! - mm[hi]!))
    this.points.set(a, b, number)
    return number
  }

  /** Triangles that fill the border, counter-clockwise seen from the side. */
  cap(sign: 1 | -1, side: Side): number[] {
    const [u, v] = planeBasis(scale(this.plane.normal, sign))
    return fillLoops(
      side.loops,
      (vertex) => this.pool.along(vertex, u),
      (vertex) => this.pool.along(vertex, v),
      side.touching,
    )
  }

  /**
   * The triangles of one side, crossed ones cut off at the border. To be asked for once per side.
   * @param sense −1 when the border was traced from the other side
   */
  walls(sign: 1 | -1, side: Side, sense: 1 | -1): SurfaceBuilder {
    const out = sign > 0 ? this.above : this.below
    side.crossed.forEach((k, piece) => {
      const leave = sense > 0 ? side.start[piece]! : side.end[piece]!
      const comeBack = sense > 0 ? side.end[piece]! : side.start[piece]!
      this.addPart(out, k, (v) => this.distances.side[v] === sign, leave, comeBack)
    })
    return out
  }

  /** Everything that is not on the positive side, vertices in the plane included, without a cap. */
  rest(side: Side): SurfaceBuilder {
    const out = this.below
    const { triangles } = this.surface
    const notAbove = (k: number): boolean => this.distances.side[triangles[k]!]! <= 0
    for (const k of this.crossedBelow) if (notAbove(k) && notAbove(k + 1) && notAbove(k + 2)) this.addTriangle(out, k)
    for (const k of this.flat) this.addTriangle(out, k)
    side.crossed.forEach((k, piece) => {
      this.addPart(out, k, (v) => this.distances.side[v]! <= 0, side.end[piece]!, side.start[piece]!)
    })
    return out
  }

  private addTriangle(out: SurfaceBuilder, k: number): void {
    const { triangles, tags } = this.surface
    out.add(triangles[k]!, triangles[k + 1]!, triangles[k + 2]!, tags[k / 3]!)
  }

  /**
   * The part of a crossed triangle on one side, whose border leaves that side at one vertex and comes back at
   * another.
   */
  private addPart(
    out: SurfaceBuilder,
    k: number,
    inside: (vertex: number) => boolean,
    leave: number,
    comeBack: number,
  ): void {
    const { triangles, tags } = this.surface
    const tag = tags[k / 3]!
    let a = triangles[k]!
    let b = triangles[k + 1]!
    let c = triangles[k + 2]!
    const inA = inside(a)
    const inB = inside(b)
    const inC = inside(c)
    // Turn the triangle so that the corner alone on its side comes first.
    if (inB !== inA && inB !== inC) [a, b, c] = [b, c, a]
    else if (inC !== inA && inC !== inB) [a, b, c] = [c, a, b]
    if ((inA ? 1 : 0) + (inB ? 1 : 0) + (inC ? 1 : 0) === 1) {
      out.add(a, leave, comeBack, tag)
    } else {
      out.add(comeBack, b, c, tag)
      out.add(comeBack, c, leave, tag)
    }
  }
}
