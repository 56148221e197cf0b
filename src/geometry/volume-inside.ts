import { BLOCK_HEAD, firstCoordinate, MOST_CORNERS } from './flux-tree.ts'
import type { Effort } from './half-space.ts'
import type { Plane } from './plane.ts'
import { float64Scratch } from './scratch.ts'
import { type MeshTree, roundingSlack, volumeOfTree } from './tree.ts'
import { dot, unit, type Vec3 } from './vec.ts'

/**
 * Volume, mm³, of the part of a closed mesh that lies on the positive side of every plane (any number, any order,
 * repeated planes allowed, ten different ones at least; none gives the whole).
 *
 * Let K be the intersection of the half-spaces and e a direction. Take g(x) = the length of K met when going back
 * from x along e. Then ∂g/∂e is 1 inside K and 0 outside, so the flux of g·e through the mesh is the volume wanted
 * (divergence theorem): no caps, no order. For half-spaces g = max(0, min of a few linear functions), one for each
 * pair of a plane that bounds K behind x and a plane (or x itself) that bounds it ahead; where one function is the
 * least over a whole node, the node's moments give the flux at once, and a triangle under several is divided among
 * them.
 */
export function volumeInside(tree: MeshTree, planes: readonly Plane[], effort?: Effort): number {
  if (tree.nodeCount === 0) return 0
  const distinct = distinctPlanes(planes)
  if (distinct.length === 0) return volumeOfTree(tree)
  return new Flux(tree, distinct, effort).total()
}

/** The planes without exact repeats; of parallel ones with the same normal only the strictest. */
function distinctPlanes(planes: readonly Plane[]): Plane[] {
  const kept: Plane[] = []
  for (const plane of planes) {
    const same = kept.findIndex((other) => other.normal.every((v, axis) => v === plane.normal[axis]))
    if (same < 0) kept.push(plane)
    else if (dot(plane.normal, plane.point) > dot(kept[same]!.normal, kept[same]!.point)) kept[same] = plane
  }
  return kept
}

/** Largest number of linear functions the bit mask can hold. */
const MOST_FUNCTIONS = 31

class Flux {
  private readonly functions: Float64Array
  /** Values of the functions in play at a leaf's corners, function after function. */
  private readonly atCorners: Float64Array<ArrayBuffer>
  /** Values of the functions in play at a triangle's corners. */
  private readonly values = new Float64Array(3 * (MOST_FUNCTIONS + 1))
  private readonly functionCount: number
  private readonly slack: number
  private readonly e: Vec3

  constructor(
    private readonly tree: MeshTree,
    planes: readonly Plane[],
    private readonly effort: Effort | undefined,
  ) {
    this.e = directionAwayFrom(planes)
    const list = functionsOf(planes, this.e)
    if (list.length > MOST_FUNCTIONS)
      throw new Error(`a convex set of ${planes.length} planes is more than this is made for`)
    this.functionCount = list.length
    this.functions = new Float64Array(list.flat())
    this.atCorners = float64Scratch.lend(list.length * MOST_CORNERS)
    // Gradients can exceed 1, so the slack of a distance is widened by the steepest one.
    const steepest = list.reduce((most, f) => Math.max(most, Math.hypot(f[0], f[1], f[2])), 1)
    const farthest = planes.reduce((most, q) => Math.max(most, Math.abs(dot(q.normal, q.point))), 0)
    this.slack = 4 * steepest * (roundingSlack(tree) + 1e-15 * farthest)
  }

  total(): number {
    const flux = this.visit(0, 2 ** this.functionCount - 1)
    float64Scratch.giveBack(this.atCorners)
    return flux
  }

  /** Flux through the triangles under `node`; only functions in `mask` can be the least here. */
  private visit(node: number, mask: number): number {
    const { boxes, links } = this.tree.flux
    if (this.effort) this.effort.visitedNodes++
    const f = this.functions
    const b = 8 * node
    const cx = boxes[b]!
    const cy = boxes[b + 1]!
    const cz = boxes[b + 2]!
    const hx = boxes[b + 3]!
    const hy = boxes[b + 4]!
    const hz = boxes[b + 5]!
    let least = -1
    let leastValue = Number.POSITIVE_INFINITY
    for (let rest = mask; rest !== 0; rest &= rest - 1) {
      const i = 31 - Math.clz32(rest & -rest)
      const at = 4 * i
      const value = f[at]! * cx + f[at + 1]! * cy + f[at + 2]! * cz + f[at + 3]!
      if (value < leastValue) {
        leastValue = value
        least = i
      }
      if (value > 0) continue
      const reach = Math.abs(f[at]!) * hx + Math.abs(f[at + 1]!) * hy + Math.abs(f[at + 2]!) * hz
      if (value + reach < -this.slack) return 0
    }
    let left = 1 << least
    const fx = f[4 * least]!
    const fy = f[4 * least + 1]!
    const fz = f[4 * least + 2]!
    const f0 = f[4 * least + 3]!
    for (let rest = mask & ~left; rest !== 0; rest &= rest - 1) {
      const bit = rest & -rest
      const at = 4 * (31 - Math.clz32(bit))
      const gx = f[at]! - fx
      const gy = f[at + 1]! - fy
      const gz = f[at + 2]! - fz
      const lead = gx * cx + gy * cy + gz * cz + f[at + 3]! - f0
      if (lead - (Math.abs(gx) * hx + Math.abs(gy) * hy + Math.abs(gz) * hz) <= this.slack) left |= bit
    }
    if (left === 1 << least) {
      const at = 4 * least
      const reach = Math.abs(f[at]!) * hx + Math.abs(f[at + 1]!) * hy + Math.abs(f[at + 2]!) * hz
      if (leastValue - reach > this.slack) return this.wholeNode(node, at, leastValue)
    }
    if (links[b + 6] === node + 1) return this.leaf(node, left)
    return this.visit(node + 1, left) + this.visit(links[b + 14]!, left)
  }

  private wholeNode(node: number, at: number, valueAtCentre: number): number {
    const m = this.tree.flux.moments
    const k = 12 * node
    const [ex, ey, ez] = this.e
    const gx = this.functions[at]!
    const gy = this.functions[at + 1]!
    const gz = this.functions[at + 2]!
    return (
      valueAtCentre * (ex * m[k]! + ey * m[k + 1]! + ez * m[k + 2]!) +
      ex * (gx * m[k + 3]! + gy * m[k + 4]! + gz * m[k + 5]!) +
      ey * (gx * m[k + 6]! + gy * m[k + 7]! + gz * m[k + 8]!) +
      ez * (gx * m[k + 9]! + gy * m[k + 10]! + gz * m[k + 11]!)
    )
  }

  private leaf(node: number, mask: number): number {
    const { links, blocks, corners: p } = this.tree.flux
    const [ex, ey, ez] = this.e
    const block = links[8 * node + 7]!
    const base = firstCoordinate(block, blocks[8 * block]!)
    const many = blocks[8 * block + 1]!
    const first = 8 * block + BLOCK_HEAD
    const last = first + 3 * blocks[8 * block]!
    const values = this.atCorners
    let functions = 0
    for (let rest = mask; rest !== 0; rest &= rest - 1) {
      this.valuesAtCorners(31 - Math.clz32(rest & -rest), base, many, functions++ * many)
    }
    let sum = 0
    for (let k = first; k < last; k += 3) {
      const c0 = blocks[k]!
      const c1 = blocks[k + 1]!
      const c2 = blocks[k + 2]!
      let mean = 0
      if (functions > 1) mean = this.meanOverTriangle(c0, c1, c2, functions, many)
      else {
        const a = values[c0]!
        const b = values[c1]!
        const c = values[c2]!
        if (a <= 0 && b <= 0 && c <= 0) continue
        if (a > 0 && b > 0 && c > 0) mean = (a + b + c) / 3
        else {
          if (this.effort) this.effort.crossedTriangles++
          mean = meanPositivePart(a, b, c)
        }
      }
      if (mean === 0) continue
      const i = base + 3 * c0
      const j = base + 3 * c1
      const l = base + 3 * c2
      const ax = p[j]! - p[i]!
      const ay = p[j + 1]! - p[i + 1]!
      const az = p[j + 2]! - p[i + 2]!
      const bx = p[l]! - p[i]!
      const by = p[l + 1]! - p[i + 1]!
      const bz = p[l + 2]! - p[i + 2]!
      sum += ((ex * (ay * bz - az * by) + ey * (az * bx - ax * bz) + ez * (ax * by - ay * bx)) / 2) * mean
    }
    return sum
  }

  private valuesAtCorners(f: number, base: number, many: number, to: number): void {
    const p = this.tree.flux.corners
    const gx = this.functions[4 * f]!
    const gy = this.functions[4 * f + 1]!
    const gz = this.functions[4 * f + 2]!
    const g0 = this.functions[4 * f + 3]!
    const values = this.atCorners
    for (let c = 0, i = base; c < many; c++, i += 3) {
      values[to + c] = gx * p[i]! + gy * p[i + 1]! + gz * p[i + 2]! + g0
    }
  }

  /**
   * Mean of g over a triangle with these corners of a leaf that has `many`: the triangle divided among the functions.
   */
  private meanOverTriangle(c0: number, c1: number, c2: number, functions: number, many: number): number {
    const v = this.values
    const values = this.atCorners
    let count = 0
    for (let f = 0, at = 0; f < functions; f++, at += many) {
      const a = values[at + c0]!
      const b = values[at + c1]!
      const c = values[at + c2]!
      if (a <= 0 && b <= 0 && c <= 0) return 0
      // Keep only functions that are the least somewhere on the triangle.
      let kept = 0
      let needed = true
      for (let n = 0; n < count; n++) {
        const a1 = v[3 * n]!
        const b1 = v[3 * n + 1]!
        const d1 = v[3 * n + 2]!
        if (needed && a1 <= a && b1 <= b && d1 <= c) needed = false
        if (needed && a <= a1 && b <= b1 && c <= d1) continue
        v[3 * kept] = a1
        v[3 * kept + 1] = b1
        v[3 * kept + 2] = d1
        kept++
      }
      count = kept
      if (needed) {
        v[3 * count] = a
        v[3 * count + 1] = b
        v[3 * count + 2] = c
        count++
      }
    }
    const a = v[0]!
    const b = v[1]!
    const c = v[2]!
    if (count === 1) {
      if (a > 0 && b > 0 && c > 0) return (a + b + c) / 3
      if (this.effort) this.effort.crossedTriangles++
      return meanPositivePart(a, b, c)
    }
    if (this.effort) this.effort.crossedTriangles++
    if (count === 2) {
      const a1 = v[3]!
      const b1 = v[4]!
      const c1 = v[5]!
      // min(f, g) = f − max(0, f − g), where neither falls below 0.
      if (a > 0 && b > 0 && c > 0 && a1 > 0 && b1 > 0 && c1 > 0) {
        return (a + b + c) / 3 - meanPositivePart(a - a1, b - b1, c - c1)
      }
    }
    const candidates: Linear[] = []
    for (let n = 0; n < count; n++) {
      const a0 = v[3 * n]!
      candidates.push([a0, v[3 * n + 1]! - a0, v[3 * n + 2]! - a0])
    }
    return 2 * integrate([0, 0, 1, 0, 0, 1], candidates)
  }
}

/** Mean over a triangle of max(0, f) for a linear f with these values at the corners. */
function meanPositivePart(a: number, b: number, c: number): number {
  const upA = a > 0
  const upB = b > 0
  const upC = c > 0
  if (upA === upB && upB === upC) return upA ? (a + b + c) / 3 : 0
  // The corner alone on its side cuts off a triangle whose mean is a third of that corner's value.
  let lone = a
  let share = (a / (a - b)) * (a / (a - c))
  if (upA === upC) {
    lone = b
    share = (b / (b - a)) * (b / (b - c))
  } else if (upA === upB) {
    lone = c
    share = (c / (c - a)) * (c / (c - b))
  }
  return lone > 0 ? (share * lone) / 3 : (a + b + c - share * lone) / 3
}

/**
 * A linear function over a triangle in barycentric coordinates: value at the first corner, rise along u, rise along
 * v.
 */
type Linear = readonly [number, number, number]

/**
 * ∫ max(0, min of the functions) over a convex polygon (u, v pairs): each cut gives every point to exactly one
 * function.
 */
function integrate(polygon: readonly number[], candidates: readonly Linear[]): number {
  if (polygon.length < 6) return 0
  const [first, second] = candidates
  if (!second) return integrateLinear(positivePart(polygon, first!), first!)
  const lead: Linear = [second[0] - first![0], second[1] - first![1], second[2] - first![2]]
  const others = candidates.slice(2)
  return (
    integrate(positivePart(polygon, lead), [first!, ...others]) +
    integrate(positivePart(polygon, [-lead[0], -lead[1], -lead[2]], true), [second, ...others])
  )
}

/**
 * The part of a convex polygon where the function is ≥ 0 (or > 0: a polygon wholly on the zero line goes to one side
 * only).
 */
function positivePart(polygon: readonly number[], f: Linear, strict = false): number[] {
  const out: number[] = []
  const n = polygon.length
  let anyPositive = false
  let u0 = polygon[n - 2]!
  let v0 = polygon[n - 1]!
  let f0 = f[0] + f[1] * u0 + f[2] * v0
  for (let k = 0; k < n; k += 2) {
    const u1 = polygon[k]!
    const v1 = polygon[k + 1]!
    const f1 = f[0] + f[1] * u1 + f[2] * v1
    if ((f0 < 0 && f1 > 0) || (f0 > 0 && f1 < 0)) {
      const t = f0 / (f0 - f1)
      out.push(u0 + t * (u1 - u0), v0 + t * (v1 - v0))
    }
    if (f1 >= 0) out.push(u1, v1)
    if (f1 > 0) anyPositive = true
    u0 = u1
    v0 = v1
    f0 = f1
  }
  return strict && !anyPositive ? [] : out
}

function integrateLinear(polygon: readonly number[], f: Linear): number {
  let sum = 0
  const u0 = polygon[0]!
  const v0 = polygon[1]!
  for (let k = 2; k + 3 < polygon.length; k += 2) {
    const du1 = polygon[k]! - u0
    const dv1 = polygon[k + 1]! - v0
    const du2 = polygon[k + 2]! - u0
    const dv2 = polygon[k + 3]! - v0
    const mean = f[0] + f[1] * (u0 + (du1 + du2) / 3) + f[2] * (v0 + (dv1 + dv2) / 3)
    sum += ((du1 * dv2 - du2 * dv1) / 2) * mean
  }
  return sum
}

/** The linear functions whose least, when positive, is g: gradient (3) and constant. */
function functionsOf(planes: readonly Plane[], e: Vec3): (readonly [number, number, number, number])[] {
  const behind: (readonly [number, number, number, number])[] = []
  const ahead: (readonly [number, number, number, number])[] = [[0, 0, 0, 0]]
  for (const { normal, point } of planes) {
    const along = dot(normal, e)
    const k = 1 / Math.abs(along)
    const f = [normal[0] * k, normal[1] * k, normal[2] * k, -dot(normal, point) * k] as const
    if (along > 0) behind.push(f)
    else ahead.push(f)
  }
  return behind.flatMap((b) => ahead.map((a) => [a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3]] as const))
}

/**
 * A unit direction well clear of lying in any of the planes, with at least one plane facing it from behind; among
 * such, one that needs few functions. Near the last plane's normal, if that can be had: a cut's piece lies ahead of the
 * cut and little else does, so that hardly a triangle beyond the piece has to be looked at.
 */
function directionAwayFrom(planes: readonly Plane[]): Vec3 {
  const last = planes[planes.length - 1]!.normal
  let best = last
  let bestScore = 0
  for (const [nearLast, clearEnough] of [
    [true, 0.05],
    [false, 0.25],
  ] as const) {
    for (const d of DIRECTIONS) {
      const e = nearLast ? unit([last[0] + 0.2 * d[0], last[1] + 0.2 * d[1], last[2] + 0.2 * d[2]]) : d
      let clearance = 1
      let behind = 0
      for (const { normal } of planes) {
        const along = dot(normal, e)
        if (along > 0) behind++
        clearance = Math.min(clearance, Math.abs(along))
      }
      if (behind === 0) continue
      // More clearance than enough is no better: beyond it only the number of functions counts.
      const score = Math.min(clearance / clearEnough, 1) / Math.sqrt(behind * (planes.length - behind + 1))
      if (score > bestScore && (!nearLast || clearance >= clearEnough)) {
        bestScore = score
        best = e
      }
    }
    if (bestScore > 0) break
  }
  return best
}

/** Directions all around, evenly spread (spiral of the golden angle). */
const DIRECTIONS: readonly Vec3[] = Array.from({ length: 96 }, (_, k) => {
  const z = (2 * k + 1) / 96 - 1
  const r = Math.sqrt(1 - z * z)
  const turn = Math.PI * (3 - Math.sqrt(5)) * k
  return [r * Math.cos(turn), r * Math.sin(turn), z]
})
