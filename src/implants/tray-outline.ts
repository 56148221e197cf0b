import type { TibialSize } from './family.ts'

/**
 * The outline of the tray's bone-side face, as its front and back edge over the medio-lateral position z (lateral
 * positive, −half…+half width); anterior positive, mm. Two lobes, broadest behind their middle, front edges level, the medial lobe
 * longer, a notch behind.
 */
export interface TrayOutline {
  readonly halfMlMm: number
  readonly frontAt: (z: number) => number
  readonly backAt: (z: number) => number
  /** Middle of the lobe, where its lowest bearing point lies; runs into the outline at both ends. */
  readonly midAt: (z: number) => number
}

export function trayOutline(s: TibialSize): TrayOutline {
  const half = s.overallMlMm / 2
  const front = s.medialApMm / 2
  const notch = s.notchWidthMm / 2
  const lateralShare = (z: number) => smoothStep((z + notch) / (2 * notch))
  const apAt = (z: number) => s.medialApMm + lateralShare(z) * (s.lateralApMm - s.medialApMm)
  const broadestAt = (z: number) => front - frontShare * apAt(z)
  const left = (z: number, power: number) => Math.max(0, 1 - Math.abs(z / half) ** power)
  const fullness = (z: number, power: number) => left(z, power) ** (1 / power)
  const towardsMiddle = (z: number) => left(z, 4) / left(s.dwellSpacingMm / 2, 4)
  return {
    halfMlMm: half,
    midAt: (z) => broadestAt(z) + (frontShare - 0.5) * apAt(z) * towardsMiddle(z),
    frontAt: (z) => broadestAt(z) + frontShare * apAt(z) * fullness(z, frontRoundness),
    backAt: (z) =>
      broadestAt(z) - (1 - frontShare) * apAt(z) * fullness(z, backRoundness) + s.notchDepthMm * notchShape(z / notch),
  }
}

/** Share of a lobe's length ahead of its broadest place. */
const frontShare = 0.6
/** Exponents of the two half outlines: 2 an ellipse, larger squarer. */
const frontRoundness = 2.1
const backRoundness = 2.6

/** Points across the tray, denser towards the rounded ends, including −half, +half, 0 and ±`also`; ascending. */
export function stationsAcrossTray(halfMl: number, also: number, steps: number): number[] {
  const right: number[] = []
  for (let i = 1; i <= steps; i++) right.push(halfMl * Math.sin((Math.PI / 2) * (i / steps)))
  const nearest = right.reduce((best, z, i) => (Math.abs(z - also) < Math.abs(right[best]! - also) ? i : best), 0)
  right[nearest] = also
  return [...right.map((z) => -z).reverse(), 0, ...right]
}

/** The outline as a closed polygon of (anterior, lateral) points, counter-clockwise seen with anterior to the right and lateral up. */
export function trayPolygon(s: TibialSize): (readonly [number, number])[] {
  const outline = trayOutline(s)
  const z = stationsAcrossTray(outline.halfMlMm, s.dwellSpacingMm / 2, 24)
  const inside = z.slice(1, -1)
  return [
    [outline.midAt(z[0]!), z[0]!],
    ...inside.map((v): readonly [number, number] => [outline.frontAt(v), v]),
    [outline.midAt(z.at(-1)!), z.at(-1)!],
    ...inside.reverse().map((v): readonly [number, number] => [outline.backAt(v), v]),
  ]
}

const smoothStep = (t: number): number => {
  const u = Math.min(1, Math.max(0, t))
  return u * u * (3 - 2 * u)
}

const notchShape = (t: number): number => (Math.abs(t) < 1 ? (1 - t * t) ** 2 : 0)
