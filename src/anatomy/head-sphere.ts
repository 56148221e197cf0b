import type { SphereFit } from '../geometry/fit.ts'
import { solvePositive } from '../geometry/fit-solver.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { unit, type Vec3 } from '../geometry/vec.ts'
import { partOf } from './limb.ts'
import { type Patches, patchesOf } from './patches.ts'
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

function nearSphere(mesh: Mesh, { centre, radiusMm }: Start): Patches {
  const { positions: p, triangles } = mesh
  const near = partOf(mesh, (first) => {
    const v = 3 * triangles[first]!
    const d = Math.hypot(p[v]! - centre[0], p[v + 1]! - centre[1], p[v + 2]! - centre[2])
    return d > 0.6 * radiusMm && d < 1.4 * radiusMm
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
  { count, centres, normals, areas }: Patches,
  { centre, radius, pole }: State,
  band: number,
): { readonly next: State; readonly sums: { readonly weight: number; readonly squares: number } } | null {
  const normal = new Float64Array(16)
  const right = new Float64Array(4)
  const [cx, cy, cz] = centre
  const [px, py, pz] = pole ?? [0, 0, 0]
  let weight = 0
  let squares = 0
  let poleX = 0
  let poleY = 0
  let poleZ = 0
  let wx = 0
  let wy = 0
  let wz = 0
  let xx = 0
  let xy = 0
  let xz = 0
  let yy = 0
  let yz = 0
  let zz = 0
  let rx = 0
  let ry = 0
  let rz = 0
  let r1 = 0
  for (let i = 0; i < count; i++) {
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
    poleX += onSphere * ux
    poleY += onSphere * uy
    poleZ += onSphere * uz
    const w = pole === null ? onSphere : onSphere * ramp(px * ux + py * uy + pz * uz, -0.6, -0.4)
    if (w === 0) continue
    weight += w
    squares += w * residual * residual
    wx += w * ux
    wy += w * uy
    wz += w * uz
    xx += w * ux * ux
    xy += w * ux * uy
    xz += w * ux * uz
    yy += w * uy * uy
    yz += w * uy * uz
    zz += w * uz * uz
    rx += w * ux * residual
    ry += w * uy * residual
    rz += w * uz * residual
    r1 += w * residual
  }
  normal.set([xx, xy, xz, wx, xy, yy, yz, wy, xz, yz, zz, wz, wx, wy, wz, weight])
  right.set([rx, ry, rz, r1])
  const step = solvePositive(normal, right, 4)
  if (step === null) return null
  return {
    next: {
      centre: [cx + step[0]!, cy + step[1]!, cz + step[2]!],
      radius: radius + step[3]!,
      // Of all surface on the sphere, whichever side it lies on: the neck is where there is none.
      pole: unit([poleX, poleY, poleZ]),
    },
    sums: { weight, squares },
  }
}

/** Surface that faces further away from the radius than this (cosine) is not the head's. */
const leastFacing = 0.85
