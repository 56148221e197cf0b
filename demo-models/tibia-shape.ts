import { toRad, type Vec3 } from '../src/geometry/vec.ts'
import { type Level, loft } from './loft.ts'
import type { Box } from './mesher.ts'
import type { LegParameters } from './parameters.ts'
import { chain, roundCone, type Sdf, smoothMax, smoothMin } from './sdf.ts'
import { plateauHeight } from './tibia-plateaus.ts'

/** Free numbers of the tibia that are solved so that the measured angles become the asked ones. */
export interface TibiaKnobs {
  /** Tilts of the two dishes in the model frame, degrees: shared varus, and slope of each. */
  readonly varusDeg: number
  readonly slopeMedialDeg: number
  readonly slopeLateralDeg: number
}

/** A right tibia in its model frame (X anterior, Y proximal, Z lateral, spines near the origin, ankle near (0, −L, 0)). */
export interface TibiaShape {
  readonly sdf: Sdf
  readonly box: Box
  readonly sizeFactor: number
  readonly lengthMm: number
  /** Turn of the distal end about Y, degrees, anterior towards lateral. */
  readonly torsionDeg: number
  readonly malleolusTip: Vec3
}

/** The tibia of a parameter table as a signed-distance shape. */
export function tibiaShape(p: LegParameters, knobs: TibiaKnobs): TibiaShape {
  const s = p.size
  const l = p.tibiaLengthMm
  const body = loft(levels(p))
  const height = plateauHeight(p, knobs)
  // Behind, between the condyles, where the posterior cruciate holds.
  const cleft = roundCone([-23.5 * s, -17 * s, 0], 7 * s, [-21.5 * s, -30 * s, 0.5 * s], 6.5 * s)
  const lips = p.osteophyteMm > 0 ? marginLips(p, height) : null
  const torsionDeg = p.tibialTorsionDeg - 12
  const c = Math.cos(toRad(torsionDeg))
  const sn = Math.sin(toRad(torsionDeg))
  const distal = (x: number, y: number, z: number): Vec3 => [x * s * c - z * s * sn, y * s - l, x * s * sn + z * s * c]
  const malleolus = roundCone(distal(1.5, 30, -7.5), 9.5 * s, distal(4, -7.5, -19.5), 6 * s)
  const lipMedial = roundCone(distal(-4, 26, -7), 9 * s, distal(-5.5, -2.5, -18.5), 5.5 * s)
  // The groove in which the fibula lies.
  const incisure = roundCone(distal(-3, 34, 26), 7 * s, distal(-2, -8, 29.5), 9.5 * s)
  const archRadius = 33 * s
  const plafond = (x: number, z: number): number => {
    const u = c * x + sn * z
    const w = c * z - sn * x
    const arch = archRadius * (Math.sqrt(1 + (u / archRadius) ** 2) - 1)
    return -l - arch - 0.0016 * (w - 2 * s) * (w - 2 * s)
  }
  const sdf: Sdf = (x, y, z) => {
    let f = body(x, y, z)
    if (y > -40 * s) {
      f = smoothMax(f, -cleft(x, y, z), 7 * s)
      f = smoothMax(f, (y - height(x, z)) * 0.75, 7 * s)
      if (lips) f = smoothMin(f, lips(x, y, z), 5 * s)
    }
    if (y < 45 * s - l) {
      f = smoothMax(f, -incisure(x, y, z), 8 * s)
      f = smoothMax(f, (plafond(x, z) - y) * 0.93, 6 * s)
      f = smoothMin(f, smoothMin(malleolus(x, y, z), lipMedial(x, y, z), 6 * s), 9 * s)
    }
    return f
  }
  return {
    sdf,
    box: { min: [-48 * s, -l - 26 * s, -54 * s], max: [52 * s, 24 * s, 54 * s] },
    sizeFactor: s,
    lengthMm: l,
    torsionDeg,
    malleolusTip: distal(4, -13.5, -19.5),
  }
}

/** Bony lips along the medial margin of the plateau. */
function marginLips(p: LegParameters, height: (x: number, z: number) => number): Sdf {
  const s = p.size
  const out = 0.6 * p.osteophyteMm
  return chain(
    [8, 38, 70, 100, 132].map((deg, i) => {
      const a = toRad(deg)
      const [x, z] = [21 * s * Math.cos(a), -(20 + 17.5 * Math.sin(a)) * s]
      return {
        at: [x + out * Math.cos(a), height(x, z) - 5 * s, z - out * Math.sin(a)],
        size: 2.4 * s + (0.35 + 0.15 * (i % 3)) * p.osteophyteMm,
      }
    }),
  )
}

type Radii = Level['radii']

/** Sections: proximal by distance below the spines, shaft by fraction of the length, distal by height above the plafond. */
function levels(p: LegParameters): Level[] {
  const s = p.size
  const l = p.tibiaLengthMm
  const torsion = p.tibialTorsionDeg - 12
  const proximal: [number, number, number, Radii][] = [
    [8, 0, 0, [25, 28.5, 37.5, 30, 17, 33, 38.5, 31]],
    [-8, 0, 0, [26.5, 29.5, 38.5, 31, 17, 34, 39.5, 32]],
    [-20, 0, 0, [28.5, 29.5, 37, 29, 15.5, 31.5, 38.5, 31]],
    [-36, 2, 2, [31, 25, 27, 21.5, 16, 23.5, 31, 25]],
    [-54, 5, 2.5, [25.5, 20, 19.5, 18.5, 15, 20, 23, 21]],
    [-80, 7.5, 2.5, [19.5, 15, 14.2, 16.3, 14.8, 17, 16.2, 15.6]],
  ]
  const shaft: [number, number, number, Radii][] = [
    [0.33, 7, 2, [17.6, 13, 12, 14.2, 13, 14.8, 13, 13.2]],
    [0.5, 5, 1.5, [16, 12, 10.9, 12.7, 12, 13.2, 11.7, 12]],
    [0.66, 2.5, 0, [14.4, 11.2, 10.6, 12, 11.6, 12.2, 11.2, 10.8]],
    [0.8, 0.5, -1.5, [12.8, 12, 12.2, 12.2, 11.8, 12.2, 12.2, 11.8]],
  ]
  const distal: [number, number, number, Radii][] = [
    [36, 0.5, -1.5, [14, 15, 15.5, 14.5, 14, 14.5, 15.5, 14.5]],
    [18, 0, -1, [18, 20, 20.5, 18.5, 17, 18, 20.5, 19]],
    [4, 0, 0, [20, 23.5, 22.5, 22, 19, 20, 23, 21.5]],
    [-8, 0, 0, [20, 23.5, 22, 22, 19, 20, 23, 21.5]],
  ]
  const twist = (y: number) => torsion * Math.min(1, Math.max(0, (-y / l - 0.3) / 0.65))
  const level = (y: number, x: number, z: number, radii: Radii): Level => ({
    y,
    x: x * s,
    z: z * s,
    radii: radii.map((v) => v * s) as unknown as Radii,
    turnDeg: twist(y),
  })
  return [
    ...proximal.map(([y, x, z, r]) => level(y * s, x, z, r)),
    ...shaft.map(([t, x, z, r]) => level(-t * l, x, z, r)),
    ...distal.map(([h, x, z, r]) => level(h * s - l, x, z, r)),
  ].reverse()
}
