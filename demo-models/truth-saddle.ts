import { solvePositive } from '../src/geometry/fit-solver.ts'
import type { Vec3 } from '../src/geometry/vec.ts'
import type { Sdf } from './sdf.ts'
import { castRay, criticalPoint } from './truth-search.ts'

/** Reach of the quadratic across, and how far below the saddle its rays start, mm. */
const reachMm = 8
const belowMm = 14
/** Rings of equal area about the saddle, and rays on each. */
const rings = 10
const spokes = 16

/** Height of the roof over its saddle up to which it counts, and the step along it, mm. */
const roofMm = 5
const roofStepMm = 0.5

/**
 * The notch saddle of f (a right femur in its own frame), of height: across the most proximal, along the most distal of those. Between the
 * two distal contacts, or near the origin where an earlier frame was laid on it; then the critical point of the quadratic through
 * the roof within 8 mm, recentred until it stays; along x the middle of the roof within 5 mm of that height, each slice's top weighing by
 * how much lower it lies, on the quadratic's crest.
 */
export function notchSaddle(f: Sdf, [medial, lateral]: readonly [Vec3, Vec3], known: boolean): Vec3 {
  let at = known ? ([0, 0, 0] as Vec3) : criticalPoint(f, 'y', topOfRoofs(f, medial, lateral))
  for (let round = 0; round < 40; round++) {
    const { critical, crestAt } = quadraticAbout(f, at)
    const moved = Math.hypot(critical[0] - at[0], critical[2] - at[2])
    at = critical
    if (moved < 1e-9) return crestAt(middleOfRoof(f, at))
  }
  throw new Error('the notch saddle did not settle')
}

function middleOfRoof(f: Sdf, saddle: Vec3): number {
  const floor = saddle[1] + roofMm
  let weight = 0
  let sum = 0
  for (const sense of [-1, 1]) {
    let z = saddle[2]
    for (let k = sense < 0 ? 1 : 0; ; k++) {
      const x = saddle[0] + sense * k * roofStepMm
      const top = topOfSlice(f, x, z, saddle[1])
      if (top === null || top.y >= floor) break
      z = top.z
      weight += floor - top.y
      sum += (floor - top.y) * x
    }
  }
  return sum / weight
}

/** The highest place of a slice near z, by steps on the parabola through three rays from below. */
function topOfSlice(f: Sdf, x: number, near: number, level: number): { readonly y: number; readonly z: number } | null {
  const height = (z: number) => {
    const t = castRay(f, [x, level - belowMm, z], [0, 1, 0], 3 * belowMm)
    return t === null ? null : level - belowMm + t
  }
  let z = near
  for (let round = 0; round < 3; round++) {
    const [a, b, c] = [height(z - 0.5), height(z), height(z + 0.5)]
    if (a === null || b === null || c === null) return null
    const bend = a - 2 * b + c
    if (bend >= 0) return { y: b, z }
    z += Math.max(-1, Math.min(1, (0.25 * (a - c)) / bend))
  }
  const y = height(z)
  return y === null ? null : { y, z }
}

function topOfRoofs(f: Sdf, medial: Vec3, lateral: Vec3): Vec3 {
  let best: Vec3 | null = null
  for (let x = Math.min(medial[0], lateral[0]) - 15; x < 45; x += 1) {
    let roof: Vec3 | null = null
    for (let z = medial[2]; z <= lateral[2]; z += 1) {
      const t = castRay(f, [x, -60, z], [0, 1, 0], 130)
      if (t !== null && (!roof || t - 60 > roof[1])) roof = [x, t - 60, z]
    }
    if (roof && (!best || roof[1] < best[1])) best = roof
  }
  return best!
}

/** The quadratic about a place: its critical point, and the highest place across at an x. */
function quadraticAbout(
  f: Sdf,
  [cx, cy, cz]: Vec3,
): { readonly critical: Vec3; readonly crestAt: (x: number) => Vec3 } {
  const normal = new Float64Array(36)
  const right = new Float64Array(6)
  for (let ring = 0; ring < rings; ring++)
    for (let spoke = 0; spoke < spokes; spoke++) {
      const q = (ring + 0.5) / rings
      const angle = (2 * Math.PI * (spoke + (ring % 2) / 2)) / spokes
      const [u, v] = [Math.sqrt(q) * Math.cos(angle), Math.sqrt(q) * Math.sin(angle)]
      const t = castRay(f, [cx + reachMm * u, cy - belowMm, cz + reachMm * v], [0, 1, 0], 3 * belowMm)
      if (t === null) continue
      const w = (1 - q) ** 2
      const basis = [1, u, v, u * u, u * v, v * v]
      for (let r = 0; r < 6; r++) {
        right[r]! += w * basis[r]! * (t - belowMm)
        for (let c = 0; c < 6; c++) normal[6 * r + c]! += w * basis[r]! * basis[c]!
      }
    }
  const fit = solvePositive(normal, right, 6)
  if (fit === null) throw new Error('no roof about the notch saddle')
  const [h, gu, gv, uu, uv, vv] = [fit[0]!, fit[1]!, fit[2]!, fit[3]!, fit[4]!, fit[5]!]
  const det = 4 * uu * vv - uv * uv
  const su = (-2 * vv * gu + uv * gv) / det
  const sv = (uv * gu - 2 * uu * gv) / det
  const short = Math.min(1, 0.4 / Math.hypot(su, sv))
  return {
    critical: [cx + short * su * reachMm, cy + h + (short * (gu * su + gv * sv)) / 2, cz + short * sv * reachMm],
    crestAt: (x) => {
      const u = (x - cx) / reachMm
      const v = -(gv + uv * u) / (2 * vv)
      return [x, cy + h + gu * u + gv * v + uu * u * u + uv * u * v + vv * v * v, cz + v * reachMm]
    },
  }
}
