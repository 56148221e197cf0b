import type { SphereFit } from '../geometry/fit.ts'
import { solvePositive } from '../geometry/fit-solver.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { unit, type Vec3 } from '../geometry/vec.ts'
import { type Patches, patchesOf } from './patches.ts'

export interface HeadSphere extends SphereFit {
  /** Share of the sphere that the articular surface covers, 0…1. */
  readonly coverage: number
  /** Unit, from the centre away from the neck. */
  readonly pole: Vec3
}

/** Half width of the band about the sphere in which surface counts, as a share of the radius, at the end. */
const BAND = 0.06

/**
 * Least-squares sphere on the articular surface of a femoral head. `mesh` is the part of the bone about the head,
 * `start` a sphere roughly there (mm, frame of the mesh). Surface counts by area where it lies near the sphere, faces
 * along its radius and lies on the far side from the neck; the fovea and other dents lose weight by their residual
 * (biweight; Beaton & Tukey, Technometrics 1974). One Gauss–Newton step a round, with a narrowing band, until still.
 * Null when no sphere holds.
 */
export function fitHeadSphere(
  mesh: Mesh,
  start: { readonly centre: Vec3; readonly radiusMm: number },
): HeadSphere | null {
  const patches = patchesOf(mesh, start.radiusMm / 12)
  let state: State = { centre: start.centre, radius: start.radiusMm, pole: null }
  for (let round = 0; round < 300; round++) {
    const band = state.radius * Math.max(BAND, 0.35 * 0.85 ** round)
    const step = gaussNewton(patches, state, band)
    if (step === null) return null
    const { next, sums } = step
    if (!(next.radius < 2 * start.radiusMm && next.radius > start.radiusMm / 2)) return null
    const moved =
      Math.hypot(next.centre[0] - state.centre[0], next.centre[1] - state.centre[1], next.centre[2] - state.centre[2]) +
      Math.abs(next.radius - state.radius)
    state = next
    if (round > 12 && moved < 1e-10)
      return {
        centre: next.centre,
        radiusMm: next.radius,
        rmsMm: Math.sqrt(sums.squares / sums.weight),
        coverage: sums.weight / (4 * Math.PI * next.radius ** 2),
        pole: next.pole ?? [0, 0, 0],
      }
  }
  return null
}

interface State {
  readonly centre: Vec3
  readonly radius: number
  readonly pole: Vec3 | null
}

function gaussNewton(
  { count, centres, normals, areas }: Patches,
  { centre, radius, pole }: State,
  band: number,
): { readonly next: State; readonly sums: { readonly weight: number; readonly squares: number } } | null {
  const normal = new Float64Array(16)
  const right = new Float64Array(4)
  const row = new Float64Array(4)
  const away = [0, 0, 0]
  let weight = 0
  let squares = 0
  for (let i = 0; i < count; i++) {
    const dx = centres[3 * i]! - centre[0]
    const dy = centres[3 * i + 1]! - centre[1]
    const dz = centres[3 * i + 2]! - centre[2]
    const l = Math.sqrt(dx * dx + dy * dy + dz * dz)
    const residual = l - radius
    const t = residual / band
    if (!(t > -1 && t < 1) || l === 0) continue
    const facing = Math.abs(normals[3 * i]! * dx + normals[3 * i + 1]! * dy + normals[3 * i + 2]! * dz) / l
    const side = pole === null ? 1 : ramp((pole[0] * dx + pole[1] * dy + pole[2] * dz) / l, -0.6, -0.4)
    const w = areas[i]! * (1 - t * t) ** 2 * ramp(facing, 0.85, 0.95) * side
    if (w === 0) continue
    weight += w
    squares += w * residual * residual
    row[0] = -dx / l
    row[1] = -dy / l
    row[2] = -dz / l
    row[3] = -1
    for (let a = 0; a < 3; a++) away[a]! -= w * row[a]!
    for (let a = 0; a < 4; a++) {
      right[a]! -= w * row[a]! * residual
      for (let b = 0; b < 4; b++) normal[4 * a + b]! += w * row[a]! * row[b]!
    }
  }
  const step = solvePositive(normal, right, 4)
  if (step === null) return null
  return {
    next: {
      centre: [centre[0] + step[0]!, centre[1] + step[1]!, centre[2] + step[2]!],
      radius: radius + step[3]!,
      pole: unit([away[0]!, away[1]!, away[2]!]),
    },
    sums: { weight, squares },
  }
}

/** 0 below `from`, 1 above `to`, smooth between. */
export function ramp(value: number, from: number, to: number): number {
  const t = Math.max(0, Math.min(1, (value - from) / (to - from)))
  return t * t * (3 - 2 * t)
}
