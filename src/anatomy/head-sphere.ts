import type { SphereFit } from '../geometry/fit.ts'
import { solvePositive } from '../geometry/fit-solver.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { unit, type Vec3 } from '../geometry/vec.ts'
import { partOf } from './limb.ts'
import { inBlocks, type Patches, patchesOf } from './patches.ts'
import { ramp } from './ramp.ts'

export interface HeadSphere extends SphereFit {
  /** Share of the sphere that the articular surface covers, 0…1. */
  readonly coverage: number
  /** Unit, from the centre away from the neck. */
  readonly pole: Vec3
}

type Start = Pick<SphereFit, 'centre' | 'radiusMm'>

/** Half width of the band about the sphere in which surface counts, as a share of the radius, at the end and at first. */
const finalBand = 0.06
const firstBand = 0.35
/** A rough fit looks at about this many triangles. */
const roughTriangles = 2500
/** Largest edge of the pieces of surface that a final fit weighs; fixed, so that it does not follow the rough one. */
const patchMm = 2

/**
 * Least-squares sphere on the articular surface of a femoral head. `mesh` is the part of the bone about the head,
 * `start` a sphere roughly there (mm, frame of the mesh). Surface counts by area where it lies near the sphere, faces
 * along its radius and lies on the far side from the neck; the fovea and other dents lose weight by their residual
 * (biweight; Beaton & Tukey, Technometrics 1974). One Gauss–Newton step a round, with a narrowing band, until still.
 * Null when no sphere holds.
 */
export function fitHeadSphere(mesh: Mesh, start: Start): HeadSphere | null {
  const rough = roughHeadSphere(mesh, start)
  return rough === null ? null : refine(nearSphere(mesh, rough), rough, finalBand * 2, 1e-9)
}

/** The same from a sample of the triangles, good for telling whether there is a head at all. */
export function roughHeadSphere(mesh: Mesh, start: Start): HeadSphere | null {
  const stride = Math.max(1, Math.floor(mesh.triangles.length / 3 / roughTriangles))
  const sample = stride === 1 ? mesh : partOf(mesh, (first) => (first / 3) % stride === 0)
  const fit = refine(patchesOf(sample, start.radiusMm / 6), start, firstBand, 1e-3)
  return fit === null ? null : { ...fit, coverage: fit.coverage * stride }
}

function nearSphere(mesh: Mesh, { centre: [x, y, z], radiusMm }: Start): Patches {
  const { positions: p, triangles } = mesh
  const nearest = (0.6 * radiusMm) ** 2
  const farthest = (1.4 * radiusMm) ** 2
  const near = partOf(mesh, (first) => {
    const v = 3 * triangles[first]!
    const square = (p[v]! - x) ** 2 + (p[v + 1]! - y) ** 2 + (p[v + 2]! - z) ** 2
    return square > nearest && square < farthest
  })
  return patchesOf(near, patchMm)
}

function refine(patches: Patches, start: Start, widestBand: number, still: number): HeadSphere | null {
  let state: State = { centre: start.centre, radius: start.radiusMm, pole: null }
  for (let round = 0; round < mostRounds; round++) {
    const narrowing = widestBand * 0.8 ** round
    const step = gaussNewton(patches, state, state.radius * Math.max(finalBand, narrowing))
    if (step === null) return null
    const { next, sums } = step
    if (!(next.radius < 2 * start.radiusMm && next.radius > start.radiusMm / 2)) return null
    const moved =
      Math.hypot(next.centre[0] - state.centre[0], next.centre[1] - state.centre[1], next.centre[2] - state.centre[2]) +
      Math.abs(next.radius - state.radius)
    state = next
    const settled = moved < still || (round === mostRounds - 1 && moved < 1e-4)
    if (narrowing <= finalBand && settled)
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

const mostRounds = 150

interface State {
  readonly centre: Vec3
  readonly radius: number
  readonly pole: Vec3 | null
}

function gaussNewton(
  patches: Patches,
  state: State,
  band: number,
): { readonly next: State; readonly sums: { readonly weight: number; readonly squares: number } } | null {
  const s = new Float64Array(sumCount)
  inBlocks(patches.count, (from, to) => addPieces(patches, from, to, state, band, s))
  const [weight = 0, squares = 0, poleX = 0, poleY = 0, poleZ = 0] = s
  const [wx = 0, wy = 0, wz = 0, xx = 0, xy = 0, xz = 0, yy = 0, yz = 0, zz = 0] = s.subarray(5)
  const normal = Float64Array.of(xx, xy, xz, wx, xy, yy, yz, wy, xz, yz, zz, wz, wx, wy, wz, weight)
  const step = solvePositive(normal, s.slice(14, 18), 4)
  if (step === null) return null
  const { centre, radius } = state
  return {
    next: {
      centre: [centre[0] + step[0]!, centre[1] + step[1]!, centre[2] + step[2]!],
      radius: radius + step[3]!,
      // Of all surface on the sphere, whichever side it lies on: the neck is where there is none.
      pole: unit([poleX, poleY, poleZ]),
    },
    sums: { weight, squares },
  }
}

/** Weight, its squared residuals, the pole (3), and of the normal equations the first (3) and second (6) moments and the right side (4). */
const sumCount = 18
function addPieces(
  { centres, normals, areas }: Patches,
  from: number,
  to: number,
  { centre, radius, pole }: State,
  band: number,
  sums: Float64Array,
): void {
  const [cx, cy, cz] = centre
  const [px, py, pz] = pole ?? [0, 0, 0]
  for (let i = from; i < to; i++) {
    const dx = centres[3 * i]! - cx
    const dy = centres[3 * i + 1]! - cy
    const dz = centres[3 * i + 2]! - cz
    const l = Math.sqrt(dx * dx + dy * dy + dz * dz)
    const residual = l - radius
    const t = residual / band
    if (!(t > -1 && t < 1) || l === 0) continue
    const facing = Math.abs(normals[3 * i]! * dx + normals[3 * i + 1]! * dy + normals[3 * i + 2]! * dz) / l
    if (facing <= leastFacing) continue
    const ux = dx / l
    const uy = dy / l
    const uz = dz / l
    const onSphere = areas[i]! * (1 - t * t) * (1 - t * t) * ramp(facing, leastFacing, 0.95)
    sums[2]! += onSphere * ux
    sums[3]! += onSphere * uy
    sums[4]! += onSphere * uz
    const w = pole === null ? onSphere : onSphere * ramp(px * ux + py * uy + pz * uz, -0.6, -0.4)
    if (w === 0) continue
    sums[0]! += w
    sums[1]! += w * residual * residual
    sums[5]! += w * ux
    sums[6]! += w * uy
    sums[7]! += w * uz
    sums[8]! += w * ux * ux
    sums[9]! += w * ux * uy
    sums[10]! += w * ux * uz
    sums[11]! += w * uy * uy
    sums[12]! += w * uy * uz
    sums[13]! += w * uz * uz
    sums[14]! += w * ux * residual
    sums[15]! += w * uy * residual
    sums[16]! += w * uz * residual
    sums[17]! += w * residual
  }
}

/** Surface that faces further away from the radius than this (cosine) is not the head's. */
const leastFacing = 0.85
