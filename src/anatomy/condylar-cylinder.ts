import { fitCircle2d, type Vec2 } from '../geometry/fit.ts'
import { solvePositive } from '../geometry/fit-solver.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { addScaled, cross, length, reject, sub, unit, type Vec3 } from '../geometry/vec.ts'
import type { Bridge } from './bridge.ts'
import { inBlocks, type Patches, patchesOf, piecesWhere } from './patches.ts'
import { ramp } from './ramp.ts'

/** Cylinder on the posterior condyles, in limb coordinates, mm. */
export interface CondylarCylinder {
  readonly point: Vec3
  /** Unit, laterally. */
  readonly direction: Vec3
  readonly radiusMm: number
  readonly rmsMm: number
}

/** Half width of the band about the cylinder in which surface counts, as a share of the radius, at first and at the end. */
const firstBand = 0.3
const finalBand = 0.1
/** The circle to start from is fitted to about so many points at most. */
const startPoints = 1500

/** Flexion arc from distal (−Y) towards posterior (−X) and proximal, degrees. */
export const cylinderArcDeg = [20, 120] as const

/**
 * Least-squares cylinder on both posterior condylar surfaces over the flexion arc 20°–120°. Surface counts by area where
 * it faces across the axis (not the notch walls or the epicondyles) and lies near the cylinder; the start is a circle
 * through the arc about each condyle's posterior contact. `part` in limb coordinates. Null when no cylinder holds.
 */
export function fitCondylarCylinder(part: Mesh, posterior: Bridge, topMm: number): CondylarCylinder | null {
  const all = patchesOf(part, 2.5)
  let kept = piecesWhere(
    all,
    (i) => all.centres[3 * i + 1]! <= topMm && all.centres[3 * i]! <= posterior.medial[0] + 45,
  )
  const near: Vec2[] = []
  const nearWeights: number[] = []
  const middle = (posterior.medial[2] + posterior.lateral[2]) / 2
  for (let i = 0; i < kept.count; i++) {
    const x = kept.centres[3 * i]!
    const y = kept.centres[3 * i + 1]!
    const z = kept.centres[3 * i + 2]!
    const condyle = z < middle ? posterior.medial : posterior.lateral
    // Within 20 mm of the back and 5 mm of the contact's own sagittal plane only the condyle's roller is met.
    if (Math.abs(z - condyle[2]) < 5 && x < condyle[0] + 18 && y < condyle[1] + 16) {
      near.push([x, y])
      nearWeights.push(kept.areas[i]!)
    }
  }
  const stride = Math.ceil(near.length / startPoints)
  const isTaken = (_: unknown, i: number) => i % stride === 0
  const circle = fitCircle2d(near.filter(isTaken), nearWeights.filter(isTaken))
  if (!circle.ok) return null
  const { centre, radiusMm } = circle.value
  if (!(radiusMm > 8 && radiusMm < 45)) return null
  let state: Tube = { point: [centre[0], centre[1], 0], direction: [0, 0, 1], radius: radiusMm }
  for (let round = 0; round < 200; round++) {
    const step = gaussNewton(kept, state, state.radius * Math.max(finalBand, firstBand * 0.85 ** round))
    if (step === null) return null
    const moved =
      Math.hypot(
        step.next.point[0] - state.point[0],
        step.next.point[1] - state.point[1],
        step.next.point[2] - state.point[2],
      ) +
      Math.abs(step.next.radius - state.radius) +
      100 * Math.hypot(step.next.direction[0] - state.direction[0], step.next.direction[1] - state.direction[1])
    state = step.next
    if (!(state.radius > 8 && state.radius < 45)) return null
    // By now the band is as narrow as it gets, and the cylinder nearly still.
    if (round === nearRound && moved < nearMm) kept = nearCylinder(kept, state)
    if (round > nearRound && moved < 1e-8)
      return { point: state.point, direction: state.direction, radiusMm: state.radius, rmsMm: step.rms }
  }
  return null
}

/** From this round on, in which the cylinder moved less than so far (mm), only the surface near it is looked at. */
const nearRound = 10
const nearMm = 0.2

/** The pieces within three bands of a cylinder. */
function nearCylinder(pieces: Patches, { point, direction, radius }: Tube): Patches {
  const { centres } = pieces
  return piecesWhere(pieces, (i) => {
    const from = sub([centres[3 * i]!, centres[3 * i + 1]!, centres[3 * i + 2]!], point)
    return Math.abs(length(reject(from, direction)) - radius) <= 3 * finalBand * radius
  })
}

/** Surface that faces further away from the radius than this (cosine) is notch wall or epicondyle. */
const leastFacing = 0.85

interface Tube {
  readonly point: Vec3
  readonly direction: Vec3
  readonly radius: number
}

function gaussNewton(
  patches: Patches,
  { point, direction, radius }: Tube,
  band: number,
): { readonly next: Tube; readonly rms: number } | null {
  const u = unit(cross(direction, [0, 1, 0]))
  const v = cross(direction, u)
  const sums: Sums = { normal: new Float64Array(25), right: new Float64Array(5), spent: new Float64Array(2) }
  const looked = { point, u, v, direction, radius, band }
  inBlocks(patches.count, (from, to) => addPieces(patches, from, to, looked, sums))
  const { normal, right, spent } = sums
  for (let r = 0; r < 5; r++) for (let c = r + 1; c < 5; c++) normal[5 * r + c] = normal[5 * c + r]!
  const step = solvePositive(normal, right, 5)
  if (step === null) return null
  const turned = unit(addScaled(addScaled(direction, u, step[2]!), v, step[3]!))
  const moved = addScaled(addScaled(point, u, step[0]!), v, step[1]!)
  return {
    next: {
      point: addScaled(moved, turned, -moved[2] / turned[2]),
      direction: turned,
      radius: radius + step[4]!,
    },
    rms: Math.sqrt(spent[1]! / spent[0]!),
  }
}

interface Sums {
  readonly normal: Float64Array
  readonly right: Float64Array
  /** Weight, and weighed squares of the residuals. */
  readonly spent: Float64Array
}

interface Looked extends Tube {
  /** Unit, across the tube's direction and each other. */
  readonly u: Vec3
  readonly v: Vec3
  readonly band: number
}

function addPieces(
  { centres, normals, areas }: Patches,
  from: number,
  to: number,
  { point: [px, py, pz], direction: [gx, gy, gz], u: [ux, uy, uz], v: [vx, vy, vz], radius, band }: Looked,
  { normal, right, spent }: Sums,
): void {
  const row = new Float64Array(5)
  const nearest = Math.max(0, radius - band) ** 2
  const farthest = (radius + band) ** 2
  for (let i = from; i < to; i++) {
    const dx = centres[3 * i]! - px
    const dy = centres[3 * i + 1]! - py
    const dz = centres[3 * i + 2]! - pz
    const a = dx * ux + dy * uy + dz * uz
    const b = dx * vx + dy * vy + dz * vz
    const square = a * a + b * b
    if (!(square > nearest && square < farthest)) continue
    const l = Math.sqrt(square)
    const nx = normals[3 * i]!
    const ny = normals[3 * i + 1]!
    const nz = normals[3 * i + 2]!
    const facing = Math.abs(a * (nx * ux + ny * uy + nz * uz) + b * (nx * vx + ny * vy + nz * vz)) / l
    if (facing <= leastFacing) continue
    const residual = l - radius
    const t = residual / band
    const rx = (a * ux + b * vx) / l
    const ry = (a * uy + b * vy) / l
    const flexion = (Math.atan2(-rx, -ry) * 180) / Math.PI
    const arc =
      ramp(flexion, cylinderArcDeg[0] - 2, cylinderArcDeg[0] + 2) *
      (1 - ramp(flexion, cylinderArcDeg[1] - 2, cylinderArcDeg[1] + 2))
    const w = areas[i]! * (1 - t * t) ** 2 * ramp(facing, leastFacing, 0.95) * arc
    if (w === 0) continue
    spent[0]! += w
    spent[1]! += w * residual * residual
    const along = dx * gx + dy * gy + dz * gz
    row[0] = -a / l
    row[1] = -b / l
    row[2] = (-a / l) * along
    row[3] = (-b / l) * along
    row[4] = -1
    for (let r = 0; r < 5; r++) {
      const weighed = w * row[r]!
      right[r]! -= weighed * residual
      for (let c = 0; c <= r; c++) normal[5 * r + c]! += weighed * row[c]!
    }
  }
}
