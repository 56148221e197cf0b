import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { refineCrest } from './crest.ts'

/**
 * The notch saddle of a distal femur in limb coordinates, mm: on the surface seen from below, the top of each coronal
 * slice between the lowest points of the two condyles; of these the most distal. Exact on the mesh (the top is a point
 * of the slice's own polyline, its level is minimised over the slice's position), then the saddle of the smooth surface
 * under it.
 * @param z medial and lateral bound of the search, and the split between the condyles
 * @param x posterior and anterior bound of the search
 * @param contactMm surface that decides where between the vertices the saddle lies
 * @returns null when no slice has a continuous roof
 */
export function notchSaddle(
  part: Mesh,
  z: { readonly medial: number; readonly split: number; readonly lateral: number },
  x: { readonly posterior: number; readonly anterior: number },
  contactMm: number,
): Vec3 | null {
  const slices = new CoronalSlices(part, z, x)
  const steps = Math.max(8, Math.ceil((x.anterior - x.posterior) / 0.75))
  const width = (x.anterior - x.posterior) / steps
  let best = Number.POSITIVE_INFINITY
  let at = Number.NaN
  for (let k = 0; k <= steps; k++) {
    const position = x.posterior + k * width
    const top = slices.top(position)
    if (top !== null && top[1] < best) {
      best = top[1]
      at = position
    }
  }
  if (!Number.isFinite(best)) return null
  let span = width
  for (let k = 0; k < 2; k++) {
    at = bestOf(slices, at, span, 8)
    span /= 8
  }
  const rough = slices.top(at)
  if (rough === null) return null
  const smooth = refineCrest(part, rough, { up: 1, sense: 1, kind: 'saddle', radiusMm: contactMm })
  return smooth === rough ? slices.top(narrow(slices, at - span, at + span)) : smooth
}

/** The best of 2·steps + 1 positions about `at`. */
function bestOf(slices: CoronalSlices, at: number, span: number, steps: number): number {
  let best = Number.POSITIVE_INFINITY
  let found = at
  for (let k = -steps; k <= steps; k++) {
    const level = slices.top(at + (k / steps) * span)?.[1] ?? Number.POSITIVE_INFINITY
    if (level < best) {
      best = level
      found = at + (k / steps) * span
    }
  }
  return found
}

/** Golden-section search for the most distal top (Kiefer, Proc Am Math Soc 1953). */
function narrow(slices: CoronalSlices, from: number, to: number): number {
  const g = (Math.sqrt(5) - 1) / 2
  const level = (at: number) => slices.top(at)?.[1] ?? Number.POSITIVE_INFINITY
  let a = from
  let b = to
  let c = b - g * (b - a)
  let d = a + g * (b - a)
  let fc = level(c)
  let fd = level(d)
  while (b - a > 1e-9) {
    if (fc < fd) {
      b = d
      d = c
      fd = fc
      c = b - g * (b - a)
      fc = level(c)
    } else {
      a = c
      c = d
      fc = fd
      d = a + g * (b - a)
      fd = level(d)
    }
  }
  return (a + b) / 2
}

/** Triangles of the notch and condyles sorted into coronal bins, to be sliced at any x. */
class CoronalSlices {
  private readonly bins: number[][]
  private readonly low: number
  private readonly binMm = 1
  private readonly part: Mesh
  private readonly split: number

  constructor(
    part: Mesh,
    z: { readonly medial: number; readonly split: number; readonly lateral: number },
    x: { readonly posterior: number; readonly anterior: number },
  ) {
    this.part = part
    this.split = z.split
    this.low = x.posterior - 1
    const count = Math.ceil((x.anterior - x.posterior + 2) / this.binMm) + 1
    this.bins = Array.from({ length: count }, () => [])
    const { positions: p, triangles } = part
    for (let t = 0; t < triangles.length; t += 3) {
      const a = 3 * triangles[t]!
      const b = 3 * triangles[t + 1]!
      const c = 3 * triangles[t + 2]!
      if (Math.max(p[a + 2]!, p[b + 2]!, p[c + 2]!) < z.medial) continue
      if (Math.min(p[a + 2]!, p[b + 2]!, p[c + 2]!) > z.lateral) continue
      const from = Math.floor((Math.min(p[a]!, p[b]!, p[c]!) - this.low) / this.binMm)
      const to = Math.floor((Math.max(p[a]!, p[b]!, p[c]!) - this.low) / this.binMm)
      for (let k = Math.max(0, from); k <= Math.min(count - 1, to); k++) this.bins[k]!.push(t)
    }
  }

  /** Top of the slice seen from below between the condyles' lowest points; null when there is no continuous roof. */
  top(x: number): Vec3 | null {
    const segments = this.slice(x)
    const ends = lowestOfEachSide(segments, this.split)
    if (ends === null || !covers(segments, ends[0], ends[1])) return null
    const points: [number, number][] = []
    for (const [z1, y1, z2, y2] of segments) {
      if (z1 >= ends[0] && z1 <= ends[1]) points.push([z1, y1])
      if (z2 >= ends[0] && z2 <= ends[1]) points.push([z2, y2])
    }
    points.sort((a, b) => b[1] - a[1] || a[0] - b[0])
    const seen = points.find((q) => !segments.some((s) => passesBelow(s, q[0], q[1])))
    return seen ? [x, seen[1], seen[0]] : null
  }

  private slice(x: number): Segment[] {
    const { positions: p, triangles } = this.part
    const out: Segment[] = []
    for (const t of this.bins[Math.floor((x - this.low) / this.binMm)] ?? []) {
      const v = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!]
      const ahead = v.map((i) => p[i]! >= x)
      if (ahead[0] === ahead[1] && ahead[1] === ahead[2]) continue
      const k = ahead[0] === ahead[1] ? 2 : ahead[0] === ahead[2] ? 1 : 0
      const lone = v[k]!
      const ends = [v[(k + 1) % 3]!, v[(k + 2) % 3]!].map((i): [number, number] => {
        const f = (x - p[lone]!) / (p[i]! - p[lone]!)
        return [p[lone + 2]! + f * (p[i + 2]! - p[lone + 2]!), p[lone + 1]! + f * (p[i + 1]! - p[lone + 1]!)]
      })
      const [q, r] = ends as [[number, number], [number, number]]
      out.push(q[0] <= r[0] ? [q[0], q[1], r[0], r[1]] : [r[0], r[1], q[0], q[1]])
    }
    return out
  }
}

/** (z, y) of both ends of a piece of slice, z ascending. */
type Segment = readonly [z1: number, y1: number, z2: number, y2: number]

function lowestOfEachSide(segments: readonly Segment[], split: number): readonly [number, number] | null {
  let medial: [number, number] | null = null
  let lateral: [number, number] | null = null
  for (const [z1, y1, z2, y2] of segments)
    for (const [z, y] of [
      [z1, y1],
      [z2, y2],
    ] as [number, number][]) {
      if (z < split && (medial === null || y < medial[1])) medial = [z, y]
      if (z >= split && (lateral === null || y < lateral[1])) lateral = [z, y]
    }
  return medial && lateral ? [medial[0], lateral[0]] : null
}

/** Whether the pieces cover every z of an interval, so that a ray from below meets a roof everywhere. */
function covers(segments: readonly Segment[], from: number, to: number): boolean {
  let reached = from
  for (const [z1, , z2] of [...segments].sort((a, b) => a[0] - b[0])) {
    if (z1 > reached + 1e-6) break
    reached = Math.max(reached, z2)
  }
  return reached >= to - 1e-6
}

function passesBelow([z1, y1, z2, y2]: Segment, z: number, y: number): boolean {
  if (z <= z1 || z >= z2) return false
  return y1 + ((z - z1) / (z2 - z1)) * (y2 - y1) < y - 1e-9
}
