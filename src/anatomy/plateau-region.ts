import { ramp } from './ramp.ts'
import { type Flat, principalAxes } from './tibial-contours.ts'

/** How much a place of one plateau counts, by where it lies and not by how it leans: 0…1 over (x, z), limb coordinates, mm. */
export type PlateauRegion = (x: number, z: number) => number

/** How far inside the outline, and how far from its middle, a place begins to count and counts whole; in widths. */
const bands = { inset: [0.05, 0.12], fromMiddle: [0.13, 0.21] } as const

/**
 * The two plateaus of a tibia within its outline 8 mm below them: the outline less a band along its border (rim and
 * osteophytes) and less a band about its middle across (spines), both with soft edges. `outline` counter-clockwise or clockwise,
 * limb coordinates, mm. An outline without area gives regions without a place.
 */
export function plateauRegions(outline: readonly Flat[]): {
  readonly medial: PlateauRegion
  readonly lateral: PlateauRegion
} {
  const { inset, fromMiddle } = bands
  const { centroid: c, major: u } = principalAxes(outline)
  const across = outline.map((p) => (p[0] - c[0]) * u[0] + (p[1] - c[1]) * u[1])
  const width = Math.max(...across) - Math.min(...across)
  const depth = new DepthInside(outline)
  const region =
    (side: 1 | -1): PlateauRegion =>
    (x, z) => {
      const away = side * ((x - c[0]) * u[0] + (z - c[1]) * u[1])
      if (!(away > fromMiddle[0] * width)) return 0
      const inside = depth.at(x, z)
      if (!(inside > inset[0] * width)) return 0
      return ramp(inside, inset[0] * width, inset[1] * width) * ramp(away, fromMiddle[0] * width, fromMiddle[1] * width)
    }
  return { medial: region(-1), lateral: region(1) }
}

/** Distance inside an outline, negative outside: exact on a grid of 2 mm, linear between. */
class DepthInside {
  private static readonly stepMm = 2
  private readonly lowX: number
  private readonly lowZ: number
  private readonly nx: number
  private readonly nz: number
  private readonly known: Float64Array
  /** x and z of every corner of the outline, the first one again at the end. */
  private readonly outline: Float64Array

  constructor(outline: readonly Flat[]) {
    const step = DepthInside.stepMm
    const range = (k: 0 | 1) => {
      let low = Number.POSITIVE_INFINITY
      let high = Number.NEGATIVE_INFINITY
      for (const p of outline) {
        low = Math.min(low, p[k])
        high = Math.max(high, p[k])
      }
      return [Math.floor(low / step) - 1, Math.ceil(high / step) + 1] as const
    }
    this.outline = new Float64Array(2 * outline.length + 2)
    for (let i = 0; i <= outline.length; i++) this.outline.set(outline[i % outline.length] ?? [], 2 * i)
    const [x0, x1] = range(0)
    const [z0, z1] = range(1)
    this.lowX = x0
    this.lowZ = z0
    this.nx = x1 - x0 + 1
    this.nz = z1 - z0 + 1
    this.known = new Float64Array(Math.max(0, this.nx * this.nz) || 0).fill(Number.NaN)
  }

  at(x: number, z: number): number {
    const u = x / DepthInside.stepMm - this.lowX
    const v = z / DepthInside.stepMm - this.lowZ
    const i = Math.floor(u)
    const j = Math.floor(v)
    if (!(i >= 0 && j >= 0 && i + 1 < this.nx && j + 1 < this.nz)) return Number.NEGATIVE_INFINITY
    const [a, b] = [u - i, v - j]
    return (
      (this.node(i, j) * (1 - a) + this.node(i + 1, j) * a) * (1 - b) +
      (this.node(i, j + 1) * (1 - a) + this.node(i + 1, j + 1) * a) * b
    )
  }

  private node(i: number, j: number): number {
    const at = j * this.nx + i
    if (Number.isNaN(this.known[at]!))
      this.known[at] = depthInside(
        this.outline,
        (this.lowX + i) * DepthInside.stepMm,
        (this.lowZ + j) * DepthInside.stepMm,
      )
    return this.known[at]!
  }
}

/** Distance of a point to an outline given as x and z in turn, first corner again at the end; positive inside. */
function depthInside(outline: Float64Array, x: number, z: number): number {
  let least = Number.POSITIVE_INFINITY
  let within = false
  for (let i = 0; i + 2 < outline.length; i += 2) {
    const px = outline[i]!
    const pz = outline[i + 1]!
    const ex = outline[i + 2]! - px
    const ez = outline[i + 3]! - pz
    if (pz > z !== outline[i + 3]! > z && x < px + ((z - pz) / ez) * ex) within = !within
    const long = ex * ex + ez * ez
    const share = long > 0 ? Math.max(0, Math.min(1, ((x - px) * ex + (z - pz) * ez) / long)) : 0
    const dx = x - px - share * ex
    const dz = z - pz - share * ez
    least = Math.min(least, dx * dx + dz * dz)
  }
  return within ? Math.sqrt(least) : -Math.sqrt(least)
}
