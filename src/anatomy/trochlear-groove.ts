import type { BoneMesh } from '../geometry/bone.ts'
import { firstHit } from '../geometry/query.ts'
import { addScaled, cross, dot, reject, scale, sub, toDeg, toRad, unit, type Vec3 } from '../geometry/vec.ts'
import type { LimbFrame } from './limb.ts'
import { intoLimb } from './limb.ts'
import type { FemurAnatomy, TrochlearGroove } from './terms.ts'

/** Half planes about the condylar cylinder's axis, degrees from distal (−Y) towards anterior (+X); rays within one, mm. */
const fan = { lastDeg: 125, stepDeg: 5, reachMm: 70 } as const
const across = { halfMm: 18, stepMm: 1, bottomHalfMm: 12 } as const
/** Both ridges stand above the bottom by this, or there is no groove any more, mm. */
const leastDepthMm = 0.6
/** From one half plane to the next the bottom moves less than this, mm. */
const mostStepMm = 4
const leastPoints = 5

/**
 * The line of the trochlear groove: in half planes about the condylar cylinder's axis, from the notch saddle forwards and up to
 * where the ridges end, the bottom of the outline between its ridges (nearest to the axis; a parabola through the rays within
 * 3 mm); then the least-squares line of these bottoms in the coronal plane. Patient frame. Null where cylinder or groove are
 * not on the scan. (A circle about the same axis describes the groove's floor: Iranpour et al., Clin Orthop Relat Res
 * 2010;468:788, from memory.)
 */
export function trochlearGroove(bone: BoneMesh, femur: FemurAnatomy, limb: LimbFrame): TrochlearGroove | null {
  const notch = femur.landmarks.notchCentre?.mm
  const { condylarCylinder: cylinder } = femur
  if (!notch || !cylinder) return null
  const axis = dot(cylinder.direction, limb.lateral) >= 0 ? cylinder.direction : scale(cylinder.direction, -1)
  const down = unit(reject(scale(limb.proximal, -1), axis))
  const towardsFront = cross(axis, down)
  const front = dot(towardsFront, limb.anterior) >= 0 ? towardsFront : scale(towardsFront, -1)
  const centre = addScaled(cylinder.point, axis, dot(sub(notch, cylinder.point), axis))
  const saddle = sub(notch, centre)
  const startDeg = toDeg(Math.atan2(dot(saddle, front), dot(saddle, down)))
  const found: { readonly at: Vec3; readonly deg: number; readonly depthMm: number }[] = []
  let last = 0
  for (let deg = startDeg + fan.stepDeg; deg <= fan.lastDeg; deg += fan.stepDeg) {
    const out = addScaled(scale(down, Math.cos(toRad(deg))), front, Math.sin(toRad(deg)))
    const bottom = bottomOf(bone, centre, axis, out)
    if (bottom === null || Math.abs(bottom.across - last) > mostStepMm) {
      if (found.length >= leastPoints) break
      continue
    }
    last = bottom.across
    const at = addScaled(addScaled(centre, axis, bottom.across), out, bottom.radiusMm)
    found.push({ at, deg, depthMm: bottom.depthMm })
  }
  if (found.length < leastPoints) return null
  const points = found.map(({ at }) => at)
  const line = coronalLine(points.map((p) => intoLimb(limb, p)))
  return (
    line && {
      points,
      ...line,
      depthMm: Math.max(...found.map(({ depthMm }) => depthMm)),
      fromDeg: found[0]!.deg,
      toDeg: found.at(-1)!.deg,
    }
  )
}

interface Bottom {
  /** Along the axis from the notch, laterally, mm. */
  readonly across: number
  readonly radiusMm: number
  readonly depthMm: number
}

function bottomOf(bone: BoneMesh, centre: Vec3, axis: Vec3, out: Vec3): Bottom | null {
  const count = Math.round((2 * across.halfMm) / across.stepMm) + 1
  const at = (k: number) => -across.halfMm + k * across.stepMm
  const radii = Array.from({ length: count }, (_, k) => {
    const origin = addScaled(addScaled(centre, axis, at(k)), out, fan.reachMm)
    const hit = firstHit(bone.tree, origin, scale(out, -1))
    return hit === null ? Number.NaN : fan.reachMm - hit.distanceMm
  })
  if (radii.some((r) => !(r > 0))) return null
  let lowest = -1
  for (let k = 0; k < count; k++)
    if (Math.abs(at(k)) <= across.bottomHalfMm && (lowest < 0 || radii[k]! < radii[lowest]!)) lowest = k
  const ridges = [radii.slice(0, lowest), radii.slice(lowest + 1)].map((side) => Math.max(...side))
  const depthMm = Math.min(...ridges) - radii[lowest]!
  if (!(depthMm >= leastDepthMm)) return null
  return { across: at(lowest) + parabolaShift(radii, lowest), radiusMm: radii[lowest]!, depthMm }
}

/** Where the parabola through the radii within three steps of the lowest has its bottom, from it, mm. */
function parabolaShift(radii: readonly number[], lowest: number): number {
  const half = 3
  let n = 0
  let [s2, s4, r0, r1, r2] = [0, 0, 0, 0, 0]
  for (let d = -half; d <= half; d++) {
    const r = radii[lowest + d]
    if (r === undefined) return 0
    n++
    s2 += d * d
    s4 += d ** 4
    r0 += r
    r1 += d * r
    r2 += d * d * r
  }
  const curve = (n * r2 - s2 * r0) / (n * s4 - s2 * s2)
  if (!(curve > 1e-6)) return 0
  const shift = -(r1 / s2) / (2 * curve)
  return Math.max(-half, Math.min(half, shift)) * across.stepMm
}

/** Least-squares line z = a + b·y of points in limb coordinates. */
function coronalLine(
  points: readonly Vec3[],
): Pick<TrochlearGroove, 'proximalLateralDeg' | 'lateralMm' | 'rmsMm'> | null {
  const n = points.length
  const y0 = points.reduce((sum, p) => sum + p[1], 0) / n
  const z0 = points.reduce((sum, p) => sum + p[2], 0) / n
  let yy = 0
  let yz = 0
  for (const p of points) {
    yy += (p[1] - y0) ** 2
    yz += (p[1] - y0) * (p[2] - z0)
  }
  if (!(yy > 1)) return null
  const slope = yz / yy
  const squares = points.reduce((sum, p) => sum + (p[2] - z0 - slope * (p[1] - y0)) ** 2, 0)
  return {
    proximalLateralDeg: toDeg(Math.atan(slope)),
    lateralMm: z0 - slope * y0,
    rmsMm: Math.sqrt(squares / n),
  }
}
