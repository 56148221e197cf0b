import { add, addScaled, cross, scale, sub, toRad, unit, type Vec3 } from '../src/geometry/vec.ts'
import { distalBody } from './femur-condyles.ts'
import { type Level, loft } from './loft.ts'
import type { Box } from './mesher.ts'
import type { LegParameters } from './parameters.ts'
import { axesFrom, ellipsoid, roundCone, type Sdf, smoothMax, smoothMin, sphere } from './sdf.ts'

/** Free numbers of the femur that are solved so that the measured angles become the asked ones. */
export interface FemurKnobs {
  /** Coronal tilt of the condyles against the model's Y, degrees; 90 − LDFA at first. */
  readonly condyleTiltDeg: number
}

/** A right femur in its model frame (X anterior, Y proximal, Z lateral, knee centre near the origin, hip near (0, L, 0)). */
export interface FemurShape {
  readonly sdf: Sdf
  readonly box: Box
  /** Near the landmark: where the truth's searches start. */
  readonly head: { readonly centre: Vec3; readonly radiusMm: number }
  readonly condyleAxis: {
    readonly point: Vec3
    readonly lateral: Vec3
    readonly halfSpacingMm: number
    readonly radiusMm: number
  }
}

/** The femur of a parameter table as a signed-distance shape. */
export function femurShape(p: LegParameters, knobs: FemurKnobs): FemurShape {
  const s = p.size
  const l = p.femurLengthMm
  const proximal = proximalFrame(p)
  const { hip, base, up, medial, posterior } = proximal
  const at = (m: number, u: number, b: number): Vec3 =>
    addScaled(addScaled(addScaled(base, medial, m * s), up, u * s), posterior, b * s)

  const distal = distalBody(p, knobs.condyleTiltDeg)
  const shaft = loft(shaftLevels(p, proximal))
  const r = p.headRadiusMm
  const head = sphere(hip, r)
  const toHead = unit(sub(hip, base))
  const neck = roundCone(at(-2, -2, 0), 16.5 * s, addScaled(hip, toHead, -0.35 * r), 0.6 * r)
  const neckAxes = axesFrom(up, posterior)
  const body = ellipsoid(at(-2, -12, 0), neckAxes, [26 * s, 15.5 * s, 20 * s])
  const trochanterFront = roundCone(at(-19, -15, -3), 12 * s, at(-13, 19, -2), 10 * s)
  const trochanterTop = roundCone(at(-20, -10, 7), 11 * s, at(-12, 23, 9.5), 10 * s)
  const crest = roundCone(at(-8, 20, 13), 6.5 * s, at(6, -28, 13), 6 * s)
  const lesser = ellipsoid(at(10, -35, 11), axesFrom(add(medial, posterior), up), [12 * s, 10 * s, 8 * s])
  const fossa = ellipsoid(at(0, 21, 10), axesFrom(up, posterior), [14 * s, 8 * s, 7.5 * s])
  const fovea = sphere(
    addScaled(hip, unit(add(medial, add(scale(up, 0.3), scale(posterior, 0.2)))), r * 1.12),
    r * 0.27,
  )

  const loLimit = l * 0.62
  const upLimit = 95 * s
  const sdf: Sdf = (x, y, z) => {
    let f = shaft(x, y, z)
    // Beyond its last sections the shaft ends inside the trochanter and inside the condyles.
    if (y > loLimit) f = smoothMax(f, y - (base[1] - 6 * s), 12 * s)
    else f = smoothMax(f, 4 * s - y, 14 * s)
    if (y > loLimit) {
      f = smoothMin(f, body(x, y, z), 16 * s)
      f = smoothMin(f, trochanterFront(x, y, z), 18 * s)
      f = smoothMin(f, trochanterTop(x, y, z), 13 * s)
      f = smoothMin(f, neck(x, y, z), 14 * s)
      f = smoothMin(f, crest(x, y, z), 9 * s)
      f = smoothMin(f, lesser(x, y, z), 13 * s)
      f = smoothMax(f, -fossa(x, y, z), 9 * s)
      f = smoothMin(f, head(x, y, z), 9 * s)
      f = smoothMax(f, -fovea(x, y, z), 3 * s)
    }
    if (y < upLimit) f = distal.join(f, x, y, z)
    return f
  }
  const reach = 60 * s
  return {
    sdf,
    box: {
      min: [Math.min(-reach, base[0] - 40 * s), -45 * s, -reach],
      max: [Math.max(reach, hip[0] + r + 8), l + r + 10, base[2] + 50 * s],
    },
    head: { centre: hip, radiusMm: r },
    condyleAxis: distal.axis,
  }
}

interface ProximalFrame {
  readonly hip: Vec3
  /** Where the neck axis meets the shaft axis. */
  readonly base: Vec3
  readonly up: Vec3
  readonly medial: Vec3
  readonly posterior: Vec3
}

function proximalFrame(p: LegParameters): ProximalFrame {
  const hip: Vec3 = [0, p.femurLengthMm, 0]
  const neckFromShaft = toRad(180 - p.neckShaftDeg)
  const offset = p.neckLengthMm * Math.sin(neckFromShaft)
  const lean = Math.atan2(offset, p.femurLengthMm - p.neckLengthMm * Math.cos(neckFromShaft))
  const up: Vec3 = [0, Math.cos(lean), Math.sin(lean)]
  const version = toRad(p.anteversionDeg)
  const medialFlat: Vec3 = [Math.sin(version), 0, -Math.cos(version)]
  const posterior = unit(cross(up, medialFlat))
  const medial = cross(posterior, up)
  const toHead = add(scale(up, Math.cos(neckFromShaft)), scale(medial, Math.sin(neckFromShaft)))
  return { hip, base: addScaled(hip, toHead, -p.neckLengthMm), up, medial, posterior }
}

type Radii = Level['radii']

/** Sections of metaphysis and shaft: [height at size 1 or fraction of the way to the neck, radii at size 1]. */
function shaftLevels(p: LegParameters, proximal: ProximalFrame): Level[] {
  const s = p.size
  const top = proximal.base[1]
  const distalPart: [number, Radii][] = [
    [8, [23.5, 27, 33, 26, 14, 26, 35, 27]],
    [24, [22, 26.5, 36, 27, 15, 28, 39, 26.5]],
    [42, [19, 23, 30, 24.5, 16.5, 25.5, 34, 23.5]],
    [62, [17.5, 19.8, 24, 20.5, 16.8, 21.5, 27, 20.3]],
    [90, [16.2, 17.3, 19.5, 17.5, 16, 17.5, 20.5, 17.3]],
  ]
  const shaftPart: [number, Radii][] = [
    [0.38, [14.6, 14.6, 14.8, 14.4, 16.2, 14.4, 14.8, 14.6]],
    [0.55, [14, 14, 14, 13.6, 17, 13.6, 14, 14]],
    [0.72, [14.2, 14.4, 14.8, 14.2, 16.8, 14, 14.2, 14.2]],
    [0.85, [15, 15.6, 17, 16, 16.5, 15, 15.5, 15]],
    [0.93, [16, 17.5, 20, 18, 17, 17, 18, 16.5]],
    [1, [16, 18, 21, 18, 16, 18, 20, 17]],
  ]
  const centreZ = (y: number) => proximal.base[2] * Math.max(0, y / top)
  const centreX = (y: number) => {
    const t = y / top
    return 4.5 * s * (1 - t) + 4 * p.femoralBowMm * t * (1 - t) + proximal.base[0] * t * t
  }
  const scaled = (radii: Radii): Radii => radii.map((v) => v * s) as unknown as Radii
  return [
    ...distalPart.map(([y, radii]) => ({
      y: y * s,
      x: centreX(y * s),
      z: centreZ(y * s),
      radii: scaled(radii),
      turnDeg: 0,
    })),
    ...shaftPart.map(([t, radii]) => ({
      y: t * top,
      x: centreX(t * top),
      z: centreZ(t * top),
      radii: scaled(radii),
      turnDeg: -p.anteversionDeg * Math.max(0, t - 0.5),
    })),
  ]
}
