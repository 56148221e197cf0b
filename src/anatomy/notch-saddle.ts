import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { type Saddle, saddleNear } from './saddle.ts'

/** Surface that decides where between the vertices the saddle lies: a narrower look is led by single facets. Wider where it is no saddle, or a bump has bent it, mm. */
const radiiMm = [8, 11, 18] as const
/** Height of the roof over its saddle up to which it counts, and the step of its slices, mm. */
const roofMm = 5
const roofStepMm = 1

/**
 * The notch saddle of a distal femur in limb coordinates, mm: on the surface seen from below, the top of each coronal
 * slice between the lowest points of the two condyles; of these the most distal. Exact on the mesh (the top is a point
 * of the slice's own polyline, its level is minimised over the slice's position), then the saddle of the quadratic through the
 * surface about it, and along it the middle of the roof.
 * @param z medial and lateral bound of the search, and the split between the condyles
 * @param x posterior and anterior bound of the search
 * @returns null when no slice has a continuous roof
 */
export function notchSaddle(
  part: Mesh,
  z: { readonly medial: number; readonly split: number; readonly lateral: number },
  x: { readonly posterior: number; readonly anterior: number },
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
  for (const radius of radiiMm) {
    const saddle = saddleNear(part, rough, radius)
    if (saddle !== null && runsForward(saddle)) return middleOfRoof(slices, saddle, x)
  }
  return slices.top(narrow(slices, at - span, at + span))
}

/** A crest that runs more across than forward is none of a notch: followed forward it would leave the roof. */
const runsForward = ({ x, crestAt }: Saddle): boolean => Math.abs(crestAt(x + 1)[2] - crestAt(x)[2]) < 1

/**
 * Whether the roof about a notch saddle (limb coordinates, mm) is bent by something narrow: its crest within 18 mm lies more than
 * 2 mm to the side of that within 8 mm, or there is none within 8 mm. On whole, noisy and coarse real femora the two lie up to 1.0 mm
 * apart, on extreme models up to 1.8.
 */
export function isRoofBent(part: Mesh, notch: Vec3): boolean {
  const [near, wide] = roofRadiiMm.map((radius) => saddleNear(part, notch, radius))
  if (!near || !wide) return !near && Boolean(wide)
  return Math.abs(wide.crestAt(wide.x)[2] - near.crestAt(near.x)[2]) > bentMm
}

const roofRadiiMm = [8, 18] as const
const bentMm = 2

/**
 * The middle of the roof along x: mean place of the tops of the slices about the saddle that lie less than 5 mm over it, weighing by how
 * much less. The roof runs nearly level for a centimetre and more; the one lowest place of it wanders with mesh and noise.
 */
function middleOfRoof(
  slices: CoronalSlices,
  saddle: Saddle,
  bounds: { readonly posterior: number; readonly anterior: number },
): Vec3 {
  const floor = saddle.height + roofMm
  let weight = 0
  let sum = 0
  for (const sense of [-1, 1])
    for (let k = sense < 0 ? 1 : 0; ; k++) {
      const x = saddle.x + sense * k * roofStepMm
      if (x < bounds.posterior || x > bounds.anterior) break
      const y = slices.top(x)?.[1]
      if (y === undefined) continue
      if (y >= floor) break
      weight += floor - y
      sum += (floor - y) * x
    }
  return saddle.crestAt(weight > 0 ? sum / weight : saddle.x)
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
  /** First corners (3t) of the triangles of bin k: from `first[k]` up to `first[k + 1]`. */
  private readonly members: Int32Array
  private readonly first: Int32Array
  private readonly low: number
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
    const count = Math.ceil((x.anterior - x.posterior + 2) / binMm) + 1
    const { positions: p, triangles } = part
    const from = new Int32Array(triangles.length / 3)
    const to = new Int32Array(triangles.length / 3).fill(-1)
    this.first = new Int32Array(count + 1)
    for (let t = 0; t < triangles.length; t += 3) {
      const a = 3 * triangles[t]!
      const b = 3 * triangles[t + 1]!
      const c = 3 * triangles[t + 2]!
      if (Math.max(p[a + 2]!, p[b + 2]!, p[c + 2]!) < z.medial) continue
      if (Math.min(p[a + 2]!, p[b + 2]!, p[c + 2]!) > z.lateral) continue
      from[t / 3] = Math.max(0, Math.floor((Math.min(p[a]!, p[b]!, p[c]!) - this.low) / binMm))
      to[t / 3] = Math.min(count - 1, Math.floor((Math.max(p[a]!, p[b]!, p[c]!) - this.low) / binMm))
      for (let k = from[t / 3]!; k <= to[t / 3]!; k++) this.first[k + 1]!++
    }
    for (let k = 0; k < count; k++) this.first[k + 1]! += this.first[k]!
    const next = this.first.slice()
    this.members = new Int32Array(this.first[count]!)
    for (let t = 0; t < from.length; t++) for (let k = from[t]!; k <= to[t]!; k++) this.members[next[k]!++] = 3 * t
  }

  /** Top of the slice seen from below between the condyles' lowest points; null when there is no continuous roof. */
  top(x: number): Vec3 | null {
    const segments = this.slice(x)
    const ends = lowestOfEachSide(segments, this.split)
    if (ends === null) return null
    const sorted = new SortedSegments(segments, ends[0], ends[1])
    if (!sorted.cover()) return null
    let z = Number.NaN
    let y = Number.NEGATIVE_INFINITY
    for (let k = 0; k < segments.length; k += 2) {
      const atZ = segments[k]!
      const atY = segments[k + 1]!
      if (atZ < ends[0] || atZ > ends[1] || atY < y || (atY === y && atZ >= z) || sorted.hide(atZ, atY)) continue
      y = atY
      z = atZ
    }
    return Number.isFinite(y) ? [x, y, z] : null
  }

  /** Pieces of the slice at x, (z, y) of both ends of each, z ascending within a piece. */
  private slice(x: number): Segments {
    const { positions: p, triangles } = this.part
    const bin = Math.floor((x - this.low) / binMm)
    if (!(bin >= 0 && bin + 1 < this.first.length)) return new Float64Array(0)
    const out: number[] = []
    for (let m = this.first[bin]!; m < this.first[bin + 1]!; m++) {
      const t = this.members[m]!
      const i = 3 * triangles[t]!
      const j = 3 * triangles[t + 1]!
      const k = 3 * triangles[t + 2]!
      const iAhead = p[i]! >= x
      const jAhead = p[j]! >= x
      const kAhead = p[k]! >= x
      if (iAhead === jAhead && jAhead === kAhead) continue
      if (iAhead === jAhead) addPiece(out, p, x, k, i, j)
      else if (iAhead === kAhead) addPiece(out, p, x, j, k, i)
      else addPiece(out, p, x, i, j, k)
    }
    return new Float64Array(out)
  }
}

/** Width of a bin of slices, mm. */
const binMm = 1

/** Where the two edges from the corner that stands alone meet the slice. */
function addPiece(out: number[], p: Float64Array, x: number, lone: number, a: number, b: number): void {
  const f = (x - p[lone]!) / (p[a]! - p[lone]!)
  const z1 = p[lone + 2]! + f * (p[a + 2]! - p[lone + 2]!)
  const y1 = p[lone + 1]! + f * (p[a + 1]! - p[lone + 1]!)
  const g = (x - p[lone]!) / (p[b]! - p[lone]!)
  const z2 = p[lone + 2]! + g * (p[b + 2]! - p[lone + 2]!)
  const y2 = p[lone + 1]! + g * (p[b + 1]! - p[lone + 1]!)
  if (z1 <= z2) out.push(z1, y1, z2, y2)
  else out.push(z2, y2, z1, y1)
}

/** Four numbers per piece of slice: z and y of the end with the lesser z, then of the other. */
type Segments = Float64Array

function lowestOfEachSide(segments: Segments, split: number): readonly [number, number] | null {
  let medial = -1
  let lateral = -1
  for (let k = 0; k < segments.length; k += 2) {
    const y = segments[k + 1]!
    if (segments[k]! < split) {
      if (medial < 0 || y < segments[medial + 1]!) medial = k
    } else if (lateral < 0 || y < segments[lateral + 1]!) lateral = k
  }
  return medial >= 0 && lateral >= 0 ? [segments[medial]!, segments[lateral]!] : null
}

/** The pieces of a slice between two z, by where they lie, so that those over one z are found without asking all. */
class SortedSegments {
  /** Places (4 × piece) in `segments` of the pieces that touch bin k: from `first[k]` up to `first[k + 1]`. */
  private readonly members: Int32Array
  private readonly first: Int32Array
  private readonly bins: number

  constructor(
    private readonly segments: Segments,
    private readonly from: number,
    private readonly to: number,
  ) {
    this.bins = Math.max(1, Math.ceil((to - from) / binMm))
    this.first = new Int32Array(this.bins + 1)
    for (let k = 0; k < segments.length; k += 4)
      if (this.touches(k))
        for (let bin = this.binOf(segments[k]!); bin <= this.binOf(segments[k + 2]!); bin++) this.first[bin + 1]!++
    for (let bin = 0; bin < this.bins; bin++) this.first[bin + 1]! += this.first[bin]!
    const next = this.first.slice()
    this.members = new Int32Array(this.first[this.bins]!)
    for (let k = 0; k < segments.length; k += 4)
      if (this.touches(k))
        for (let bin = this.binOf(segments[k]!); bin <= this.binOf(segments[k + 2]!); bin++)
          this.members[next[bin]!++] = k
  }

  /** Whether they cover every z, so that a ray from below meets a roof everywhere. */
  cover(): boolean {
    let reached = this.from
    while (reached < this.to - gapMm) {
      let farthest = reached
      for (let bin = this.binOf(reached); bin <= this.binOf(reached + gapMm); bin++)
        for (let m = this.first[bin]!; m < this.first[bin + 1]!; m++) {
          const k = this.members[m]!
          if (this.segments[k]! <= reached + gapMm && this.segments[k + 2]! > farthest) farthest = this.segments[k + 2]!
        }
      if (farthest === reached) return false
      reached = farthest
    }
    return true
  }

  /** Whether some piece passes below a point. */
  hide(z: number, y: number): boolean {
    const { segments } = this
    const bin = this.binOf(z)
    for (let m = this.first[bin]!; m < this.first[bin + 1]!; m++) {
      const k = this.members[m]!
      const z1 = segments[k]!
      const z2 = segments[k + 2]!
      if (z <= z1 || z >= z2) continue
      const y1 = segments[k + 1]!
      if (y1 + ((z - z1) / (z2 - z1)) * (segments[k + 3]! - y1) < y - 1e-9) return true
    }
    return false
  }

  private touches(k: number): boolean {
    return this.segments[k + 2]! >= this.from && this.segments[k]! <= this.to
  }

  private binOf(z: number): number {
    return Math.max(0, Math.min(this.bins - 1, Math.floor((z - this.from) / binMm)))
  }
}

/** Pieces of one contour may miss each other by rounding, mm. */
const gapMm = 1e-6
