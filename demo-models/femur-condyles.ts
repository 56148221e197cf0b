import { rotate, rotationAbout, transpose } from '../src/geometry/rigid.ts'
import { toRad, type Vec3 } from '../src/geometry/vec.ts'
import type { LegParameters } from './parameters.ts'
import { axesFrom, ellipsoid, type Sdf, smoothMax, smoothMin, smoothStep } from './sdf.ts'

/** The joint end of a femur. */
export interface DistalBody {
  /** Joins the condyles to the value f of the rest of the bone and carves notch and wear. */
  readonly join: (f: number, x: number, y: number, z: number) => number
  readonly axis: {
    readonly point: Vec3
    readonly lateral: Vec3
    readonly halfSpacingMm: number
    readonly radiusMm: number
  }
}

/**
 * Two wheels on one transverse axis, crowned across, round (constant radius) behind and growing towards the front,
 * where their fillet makes the trochlear groove; the notch is carved between them, epicondyles are set on the sides.
 */
export function distalBody(p: LegParameters, tiltDeg: number): DistalBody {
  const s = p.size
  const centre: Vec3 = [-8 * s, 14 * s, 0]
  const out = rotationAbout([1, 0, 0], -toRad(tiltDeg))
  const into = transpose(out)
  const r = p.condyleRadiusMm
  const medial = wheel(-1, p.condyleHalfSpacingMm, r, p.medialWearMm / s)
  const lateral = wheel(1, p.condyleHalfSpacingMm, r - p.lateralCondyleLessMm, 0)
  const notch = notchTunnel(p.notchWidthMm)
  const sideAxes = axesFrom([0, 0, 1], [0, 1, 0])
  const epicondyleMedial = ellipsoid([3, 9, -31.5], sideAxes, [11.5, 17, 15])
  const epicondyleLateral = ellipsoid([-1, 7, 31], sideAxes, [11, 15, 14])
  const osteophyte = p.osteophyteMm / s

  const join = (f: number, x: number, y: number, z: number): number => {
    const local = rotate(into, [x - centre[0], y - centre[1], z - centre[2]])
    const u = local[0] / s
    const v = local[1] / s
    const w = local[2] / s
    let g = f / s
    g = smoothMin(g, epicondyleMedial(u, v, w), 14)
    g = smoothMin(g, epicondyleLateral(u, v, w), 14)
    const wheels = smoothMin(medial(u, v, w), lateral(u, v, w), 7)
    g = smoothMin(g, wheels, 12)
    g = smoothMax(g, -notch(u, v, w), 7)
    if (osteophyte > 0) g = smoothMin(g, rimOsteophyte(u, v, w, osteophyte), 5)
    return g * s
  }
  return {
    join,
    axis: {
      point: centre,
      lateral: rotate(out, [0, 0, 1]),
      halfSpacingMm: p.condyleHalfSpacingMm * s,
      radiusMm: r * s,
    },
  }
}

/** Crown radius across a condyle. */
const crown = 26

/** One condyle with its half of the trochlea: sign −1 medial, +1 lateral; lengths at size 1. */
function wheel(sign: 1 | -1, halfSpacing: number, radius: number, wear: number): Sdf {
  const lateral = sign > 0
  return (u, v, w) => {
    const rho = Math.sqrt(u * u + v * v)
    // Degrees from distal, towards anterior positive.
    const phi = (Math.atan2(u, -v) * 180) / Math.PI
    const front = smoothStep(phi, 5, 95) * (1 - smoothStep(phi, 100, 178))
    const rise = 7 * smoothStep(phi, -14, 62) + (lateral ? 12.5 : 11) * smoothStep(phi, 28, 100)
    const fall = (lateral ? 20 : 21) * smoothStep(phi, 98, 178)
    const ridge = halfSpacing + (lateral ? -6.5 : -9) * front
    const worn = wear > 0 ? wear * Math.exp(-((phi - 12) * (phi - 12)) / 1100) : 0
    const t = sign * w - ridge
    const drop = crown * (Math.sqrt(1 + (t / crown) * (t / crown)) - 1)
    const tread = (rho - (radius + rise - fall - worn) + drop) * 0.92
    const flank = sign * w - halfSpacing
    // The flanks run parallel behind and converge towards the front.
    const ahead = 0.5 * (u + Math.sqrt(u * u + 120))
    const side = lateral ? (flank - 13.5) * 0.96 + 0.28 * ahead : (flank - 14) * 0.92 + 0.4 * ahead
    // Past the midline a wheel ends inside the other one.
    return smoothMax(smoothMax(tread, side, 9), -sign * w - 22, 9)
  }
}

/** The intercondylar notch: an arched tunnel open behind and below, its roof rising backwards. */
function notchTunnel(width: number): Sdf {
  const half = width / 2
  const rise = toRad(38)
  const c = Math.cos(rise)
  const sn = Math.sin(rise)
  return (u, v, w) => {
    // Distance above the roof plane through the notch apex, and ahead of its front end.
    const du = u - 13
    const dv = v + 9.5
    const above = du * sn + dv * c
    const ahead = du * c - dv * sn
    const across = Math.sqrt(w * w + 4) - 2 - half
    return smoothMax(smoothMax(across, above, 12), smoothMax(ahead, -v - 60, 4), 12)
  }
}

function rimOsteophyte(u: number, v: number, w: number, height: number): number {
  const ring = Math.sqrt(u * u + (v + 2) * (v + 2)) - 22
  const side = Math.abs(w) - 36
  return Math.sqrt(ring * ring + side * side) - height - 1.5 * Math.sin(u * 0.35 + 1.3) * Math.cos(v * 0.28)
}
