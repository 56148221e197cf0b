import type { Vec3 } from '../geometry/vec.ts'
import type { HeightField } from './height-field.ts'
import type { PlateauRegion } from './plateau-region.ts'
import { QuadraticFit, quadraticAt } from './quadratic.ts'
import { ramp } from './ramp.ts'
import { type BearingPatch, settledPatch } from './settled-patch.ts'

/** Surface that leans up to 25° from the patch plane counts whole; as a cosine. */
const wholeLean = Math.cos((25 * Math.PI) / 180)
/** From 50° on it does not count. */
const mostLean = Math.cos((50 * Math.PI) / 180)

/**
 * The load-bearing patch of one plateau (definition in DEVELOPERS.md): the surface within the plateau's region, steep places
 * counting less, the plane refitted by area until it stays. As the region is fixed by the outline, the patch cannot wander over a dome,
 * and as nothing ends sharply, it moves little when the surface does. `dropMm` is the neighbourhood that says how high
 * the surface lies under the centroid. Null when too little of the region is seen.
 */
export function plateauPatch(
  field: HeightField,
  region: PlateauRegion,
  dropMm: number,
  mostRounds = 60,
): BearingPatch | null {
  const { nodes, weights } = nodesOf(field, region)
  const share = new Float64Array(nodes.length)
  const members = { at: nodes, share, count: nodes.length }
  const membersUnder = (normal: Vec3) => {
    lean(field, nodes, weights, normal, share)
    return members
  }
  const patch = settledPatch(field, [0, 1, 0], membersUnder, { dropMm, mostRounds, deepestShare: 0.5 })
  return (
    patch && {
      ...patch,
      unevenMm: unevenMm(field, nodes, weights) ?? patch.rmsMm,
      border: () => borderOf(field, nodes, share, patch.point),
    }
  )
}

const borderPoints = 48
const farthestBorderMm = 45

/** Where the shares about a centre fall to one half, seen from outside in every direction; on the surface, a closed line in turn. */
function borderOf(field: HeightField, nodes: Int32Array, share: Float64Array, centre: Vec3): readonly Vec3[] {
  const { stepMm, height } = field
  const shares = new Float64Array(height.length)
  for (let k = 0; k < nodes.length; k++) shares[nodes[k]!] = share[k]!
  const out: Vec3[] = []
  for (let k = 0; k < borderPoints; k++) {
    const [dx, dz] = [Math.cos((2 * Math.PI * k) / borderPoints), Math.sin((2 * Math.PI * k) / borderPoints)]
    const at = (r: number, values: Float64Array) => between(field, values, centre[0] + r * dx, centre[2] + r * dz)
    let r = farthestBorderMm
    while (r > 0 && !(at(r, shares) >= 0.5)) r -= stepMm
    const y = r > 0 ? at(r, height) : Number.NaN
    if (!Number.isNaN(y)) out.push([centre[0] + r * dx, y, centre[2] + r * dz])
  }
  return out.length > 2 ? [...out, out[0]!] : []
}

/** A value of the nodes between them, bilinear; NaN outside. */
function between({ nx, nz, lowX, lowZ, stepMm }: HeightField, values: Float64Array, x: number, z: number): number {
  const u = (x - lowX) / stepMm
  const v = (z - lowZ) / stepMm
  const [i, j] = [Math.floor(u), Math.floor(v)]
  if (!(i >= 0 && j >= 0 && i + 1 < nx && j + 1 < nz)) return Number.NaN
  const [a, b, at] = [u - i, v - j, j * nx + i]
  return (
    (values[at]! * (1 - a) + values[at + 1]! * a) * (1 - b) +
    (values[at + nx]! * (1 - a) + values[at + nx + 1]! * a) * b
  )
}

/** Lengths in a quadratic of about one, mm. */
const aboutMm = 20

/**
 * RMS of the heights of a region over the quadratic through them, mm: steep places count whole, so that the flank of a hollow that the
 * patch leaves out, or comes to lie on, is seen. Null where the region is a line.
 */
function unevenMm(
  { nx, lowX, lowZ, stepMm, height }: HeightField,
  nodes: Int32Array,
  weights: Float64Array,
): number | null {
  const base = height[nodes[0]!]!
  const x = (node: number): number => (lowX + (node % nx) * stepMm) / aboutMm
  const z = (node: number): number => (lowZ + Math.floor(node / nx) * stepMm) / aboutMm
  const fit = new QuadraticFit()
  for (let k = 0; k < nodes.length; k++) fit.add(x(nodes[k]!), z(nodes[k]!), height[nodes[k]!]! - base, weights[k]!)
  const smooth = fit.solve()
  if (smooth === null) return null
  let squares = 0
  let sum = 0
  for (let k = 0; k < nodes.length; k++) {
    const off = height[nodes[k]!]! - base - quadraticAt(smooth, x(nodes[k]!), z(nodes[k]!))
    squares += weights[k]! * off * off
    sum += weights[k]!
  }
  return Math.sqrt(squares / sum)
}

function nodesOf(field: HeightField, region: PlateauRegion): { nodes: Int32Array; weights: Float64Array } {
  const nodes: number[] = []
  const weights: number[] = []
  for (let j = 0, at = 0; j < field.nz; j++)
    for (let i = 0; i < field.nx; i++, at++) {
      if (Number.isNaN(field.slopeX[at]!)) continue
      const weight = region(field.lowX + i * field.stepMm, field.lowZ + j * field.stepMm)
      if (!(weight > 0)) continue
      nodes.push(at)
      weights.push(weight)
    }
  return { nodes: new Int32Array(nodes), weights: new Float64Array(weights) }
}

/** Shares of the nodes under a plane of this normal. */
function lean(
  { slopeX, slopeZ }: HeightField,
  nodes: Int32Array,
  weights: Float64Array,
  n: Vec3,
  share: Float64Array,
): void {
  for (let k = 0; k < nodes.length; k++) {
    const a = slopeX[nodes[k]!]!
    const b = slopeZ[nodes[k]!]!
    share[k] = weights[k]! * ramp((n[1] - a * n[0] - b * n[2]) / Math.sqrt(1 + a * a + b * b), mostLean, wholeLean)
  }
}
