import { fitCircle2d, type Vec2 } from '../geometry/fit.ts'
import { solvePositive } from '../geometry/fit-solver.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { addScaled, cross, dot, unit, type Vec3 } from '../geometry/vec.ts'
import type { Bridge } from './bridge.ts'
import { patchesOf } from './patches.ts'
import { ramp } from './ramp.ts'

/** Cylinder on the posterior condyles, in limb coordinates, mm. */
export interface CondylarCylinder {
  readonly point: Vec3
  /** Unit, laterally. */
  readonly direction: Vec3
  readonly radiusMm: number
  readonly rmsMm: number
}

/** Flexion arc from distal (−Y) towards posterior (−X) and proximal, degrees. */
const arcDeg = [20, 120] as const

/**
 * Least-squares cylinder on both posterior condylar surfaces over the flexion arc 20°–120°. Surface counts by area where
 * it faces across the axis (not the notch walls or the epicondyles) and lies near the cylinder; the start is a circle
 * through the arc about each condyle's posterior contact. `part` in limb coordinates. Null when no cylinder holds.
 */
export function fitCondylarCylinder(part: Mesh, posterior: Bridge, topMm: number): CondylarCylinder | null {
  const patches = patchesOf(part, 2.5)
  const kept: number[] = []
  const near: Vec2[] = []
  const nearWeights: number[] = []
  for (let i = 0; i < patches.count; i++) {
    const x = patches.centres[3 * i]!
    const y = patches.centres[3 * i + 1]!
    const z = patches.centres[3 * i + 2]!
    if (y > topMm || x > posterior.medial[0] + 45) continue
    kept.push(i)
    const condyle = z < (posterior.medial[2] + posterior.lateral[2]) / 2 ? posterior.medial : posterior.lateral
    // Within 20 mm of the back and 5 mm of the contact's own sagittal plane only the condyle's roller is met.
    if (Math.abs(z - condyle[2]) < 5 && x < condyle[0] + 18 && y < condyle[1] + 16) {
      near.push([x, y])
      nearWeights.push(patches.areas[i]!)
    }
  }
  const circle = fitCircle2d(near, nearWeights)
  if (!circle.ok) return null
  const { centre, radiusMm } = circle.value
  if (!(radiusMm > 8 && radiusMm < 45)) return null
  let state: Tube = { point: [centre[0], centre[1], 0], direction: [0, 0, 1], radius: radiusMm }
  const points = { patches, kept }
  for (let round = 0; round < 200; round++) {
    const step = gaussNewton(points, state, state.radius * Math.max(0.1, 0.3 * 0.85 ** round))
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
    if (round > 10 && moved < 1e-9)
      return { point: state.point, direction: state.direction, radiusMm: state.radius, rmsMm: step.rms }
  }
  return null
}

interface Tube {
  readonly point: Vec3
  readonly direction: Vec3
  readonly radius: number
}

function gaussNewton(
  { patches, kept }: { readonly patches: ReturnType<typeof patchesOf>; readonly kept: readonly number[] },
  { point, direction, radius }: Tube,
  band: number,
): { readonly next: Tube; readonly rms: number } | null {
  const u = unit(cross(direction, [0, 1, 0]))
  const v = cross(direction, u)
  const normal = new Float64Array(25)
  const right = new Float64Array(5)
  const row = new Float64Array(5)
  let weight = 0
  let squares = 0
  for (const i of kept) {
    const d: Vec3 = [
      patches.centres[3 * i]! - point[0],
      patches.centres[3 * i + 1]! - point[1],
      patches.centres[3 * i + 2]! - point[2],
    ]
    const along = dot(d, direction)
    const a = dot(d, u)
    const b = dot(d, v)
    const l = Math.hypot(a, b)
    const residual = l - radius
    const t = residual / band
    if (!(t > -1 && t < 1) || l === 0) continue
    const n: Vec3 = [patches.normals[3 * i]!, patches.normals[3 * i + 1]!, patches.normals[3 * i + 2]!]
    const facing = Math.abs(a * dot(n, u) + b * dot(n, v)) / l
    const rx = (a * u[0] + b * v[0]) / l
    const ry = (a * u[1] + b * v[1]) / l
    const flexion = (Math.atan2(-rx, -ry) * 180) / Math.PI
    const arc = ramp(flexion, arcDeg[0] - 2, arcDeg[0] + 2) * (1 - ramp(flexion, arcDeg[1] - 2, arcDeg[1] + 2))
    const w = patches.areas[i]! * (1 - t * t) ** 2 * ramp(facing, 0.85, 0.95) * arc
    if (w === 0) continue
    weight += w
    squares += w * residual * residual
    row[0] = -a / l
    row[1] = -b / l
    row[2] = (-a / l) * along
    row[3] = (-b / l) * along
    row[4] = -1
    for (let r = 0; r < 5; r++) {
      right[r]! -= w * row[r]! * residual
      for (let c = 0; c < 5; c++) normal[5 * r + c]! += w * row[r]! * row[c]!
    }
  }
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
    rms: Math.sqrt(squares / weight),
  }
}
