import { rotate, rotationAbout, transpose } from '../src/geometry/rigid.ts'
import { toRad, type Vec3 } from '../src/geometry/vec.ts'
import type { LegParameters } from './parameters.ts'
import { axesFrom, chain, ellipsoid, type Sdf, smoothMax, smoothMin, smoothStep } from './sdf.ts'

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
  const centre: Vec3 = [-11 * s, 14 * s, 0]
  const out = rotationAbout([1, 0, 0], -toRad(tiltDeg))
  const into = transpose(out)
  const r = p.condyleRadiusMm
  const medial = wheel(-1, p.condyleHalfSpacingMm, r, p.medialWearMm / s)
  const lateral = wheel(1, p.condyleHalfSpacingMm, r - p.lateralCondyleLessMm, 0)
  const notch = notchTunnel(p.notchWidthMm)
  const sideAxes = axesFrom([0, 0, 1], [0, 1, 0])
  const epicondyleMedial = ellipsoid([3, 9, -31.5], sideAxes, [11.5, 17, 15])
  const epicondyleLateral = ellipsoid([-1, 7, 31], sideAxes, [11, 15, 14])
  const lips = p.osteophyteMm > 0 ? marginLips(p.osteophyteMm / s, p.condyleHalfSpacingMm, r) : null

  const join = (f: number, x: number, y: number, z: number): number => {
    const local = rotate(into, [x - centre[0], y - centre[1], z - centre[2]])
    const u = local[0] / s
    const v = local[1] / s
    const w = local[2] / s
    let g = f / s
    g = smoothMin(g, epicondyleMedial(u, v, w), 18)
    g = smoothMin(g, epicondyleLateral(u, v, w), 18)
    const wheels = smoothMin(medial(u, v, w), lateral(u, v, w), 5)
    g = smoothMin(g, wheels, 12)
    g = smoothMax(g, -notch(u, v, w), 7)
    if (lips) g = smoothMin(g, lips(u, v, w), 5)
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

/** Crown radius across a condyle where it bears; sharper in the trochlea. */
const crown = 24

/** One condyle with its half of the trochlea: sign −1 medial, +1 lateral; lengths at size 1. */
function wheel(sign: 1 | -1, halfSpacing: number, radius: number, wear: number): Sdf {
  const lateral = sign > 0
  return (u, v, w) => {
    const rho = Math.sqrt(u * u + v * v)
    // Degrees from distal, towards anterior positive.
    const phi = (Math.atan2(u, -v) * 180) / Math.PI
    const front = smoothStep(phi, 5, 95) * (1 - smoothStep(phi, 100, 178))
    const high = lateral ? 15 : 12.5
    const rise = 8 * smoothStep(phi, -14, 62) + high * smoothStep(phi, 28, 100)
    const fall = (8 + high) * smoothStep(phi, 98, 178)
    const ridge = halfSpacing + (lateral ? -5 : -9.5) * front
    const worn = wear > 0 ? wear * Math.exp(-((phi - 12) * (phi - 12)) / 1100) : 0
    const t = sign * w - ridge
    const curve = crown - 8 * front
    const drop = curve * (Math.sqrt(1 + (t / curve) * (t / curve)) - 1)
    const tread = (rho - (radius + rise - fall - worn) + drop) * 0.92
    const flank = sign * w - halfSpacing
    // The flanks run parallel behind and converge towards the front.
    const ahead = 0.5 * (u + Math.sqrt(u * u + 120))
    const side = lateral ? (flank - 13.5) * 0.96 + 0.2 * ahead : (flank - 14) * 0.92 + 0.4 * ahead
    // Past the midline a wheel ends inside the other one.
    return smoothMax(smoothMax(tread, side, 9), -sign * w - 22, 9)
  }
}

/** The intercondylar notch: a tunnel with a round roof, open behind and below, the roof rising backwards. */
function notchTunnel(width: number): Sdf {
  const half = width / 2
  const rise = toRad(54)
  const c = Math.cos(rise)
  const sn = Math.sin(rise)
  return (u, v, w) => {
    // Height above the roof's spring line; the roof line passes the notch apex.
    const above = (u - 6.5) * sn + (v + 8.5) * c + half
    const up = 0.5 * (above + Math.sqrt(above * above + 9)) - 1
    const tunnel = Math.sqrt(w * w + up * up) - half
    // Behind, the gap between the condyles reaches up to their tops.
    const back = (u + 24) / 2.1
    const gap = smoothMax(Math.sqrt(w * w + back * back) - half - 0.5, v - 31, 12)
    return smoothMin(tunnel, gap, 6)
  }
}

/** Bony lips along the medial margin of the condyle, lengths at size 1. */
function marginLips(heightMm: number, halfSpacing: number, radius: number): Sdf {
  const places = [-64, -40, -10, 16, 42, 68].map((phi, i): { readonly at: Vec3; readonly size: number } => {
    const a = toRad(phi)
    const size = 2.2 + (0.35 + 0.15 * (i % 3)) * heightMm
    // Short of the tread, so that the condyle's own contact points stay the outermost.
    const r = radius - 2.3 - size + 7 * smoothStep(phi, -14, 62)
    const out = halfSpacing + 10.5 - 0.4 * Math.max(0, r * Math.sin(a))
    return { at: [r * Math.sin(a), -r * Math.cos(a), -out - 0.7 * heightMm], size }
  })
  return chain(places)
}
