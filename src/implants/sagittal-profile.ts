import { boxApMm, type FemoralSize } from './family.ts'

/** A point of the sagittal plane of the femoral component: anterior, proximal, mm. */
export type SagittalPoint = readonly [number, number]

export interface FemoralProfile {
  /** Bone-side corners from the posterior tip round the distal side to the tip of the flange (six points). */
  readonly bone: readonly SagittalPoint[]
  /** Hub of the rays that pair bone side with bearing: level with the rearmost, above the lowest bearing point. */
  readonly hub: SagittalPoint
  /** Bearing point on the crest that belongs to a bone-side point. */
  readonly bearing: (bone: SagittalPoint) => SagittalPoint
}

/**
 * The sagittal outline of a femoral component: bone side of five straight pieces (posterior, chamfer, distal, chamfer,
 * anterior); bearing of a posterior, a distal and an anterior circle that run into each other and into the flange
 * without a corner. Rearmost and lowest points stand exactly `posteriorMm` and `distalMm` off the bone-side planes.
 */
export function femoralProfile(s: FemoralSize): FemoralProfile {
  const box = boxApMm(s)
  const tilt = (s.flangeTiltDeg * Math.PI) / 180
  const front: SagittalPoint = [Math.cos(tilt), -Math.sin(tilt)]
  const alongFront = (y: number): SagittalPoint => [box + y * Math.tan(tilt), y]

  const { hub, distalCentre, bearingBehind } = condyleArcs(s)
  const distal = s.distalRadiusMm
  const frontReach = front[0] * box + s.anteriorMm
  const turn: SagittalPoint = [Math.sin(distalArcEnds), -Math.cos(distalArcEnds)]
  const turnOnFront = dot(turn, front)
  const anterior = (frontReach - dot(front, distalCentre) - distal * turnOnFront) / (1 - turnOnFront)
  const anteriorCentre: SagittalPoint = [
    distalCentre[0] + (distal - anterior) * turn[0],
    distalCentre[1] + (distal - anterior) * turn[1],
  ]

  const bearing = (bone: SagittalPoint): SagittalPoint => {
    const { from, way } = rayThrough(hub, bone)
    const behind = bearingBehind(from, way)
    const seen = unit2([behind[0] - distalCentre[0], behind[1] - distalCentre[1]])
    if (angleFromDown(seen) <= distalArcEnds) return behind
    const onAnterior = along(from, way, hitCircle(from, way, anteriorCentre, anterior))
    const outward: SagittalPoint = [onAnterior[0] - anteriorCentre[0], onAnterior[1] - anteriorCentre[1]]
    const pastTangent = outward[0] * Math.sin(tilt) + outward[1] * Math.cos(tilt) > 0
    return pastTangent ? along(from, way, (frontReach - dot(front, from)) / dot(front, way)) : onAnterior
  }
  return {
    bone: [
      [0, s.condyleHeightMm],
      [0, s.posteriorChamferMm],
      [s.posteriorChamferMm, 0],
      [box - s.anteriorChamferMm, 0],
      alongFront(s.anteriorChamferMm),
      alongFront(s.flangeHeightMm),
    ],
    hub,
    bearing,
  }
}

/** What the two condylar circles of a component are made from. */
export interface CondyleRadii {
  readonly distalMm: number
  readonly posteriorMm: number
  readonly distalRadiusMm: number
  readonly posteriorRadiusMm: number
}

/** The posterior and the distal circle of a condyle, which touch from inside, about the box corner. */
export function condyleArcs(s: CondyleRadii): {
  readonly hub: SagittalPoint
  readonly distalCentre: SagittalPoint
  /** Where a ray from the hub's side leaves the two circles. */
  readonly bearingBehind: (from: SagittalPoint, way: SagittalPoint) => SagittalPoint
} {
  const { distalRadiusMm: distal, posteriorRadiusMm: posterior } = s
  const posteriorX = posterior - s.posteriorMm
  const hubX = posteriorX + lowestAheadOfPosteriorCentre * (distal - posterior)
  const distalCentre: SagittalPoint = [hubX, distal - s.distalMm]
  const rise = Math.sqrt((distal - posterior) ** 2 - (hubX - posteriorX) ** 2)
  const posteriorCentre: SagittalPoint = [posteriorX, distalCentre[1] - rise]
  const turn: SagittalPoint = [
    (posteriorCentre[0] - distalCentre[0]) / (distal - posterior),
    (posteriorCentre[1] - distalCentre[1]) / (distal - posterior),
  ]
  return {
    hub: [hubX, posteriorCentre[1]],
    distalCentre,
    bearingBehind: (from, way) => {
      const onDistal = along(from, way, hitCircle(from, way, distalCentre, distal))
      const seen = unit2([onDistal[0] - distalCentre[0], onDistal[1] - distalCentre[1]])
      return angleFromDown(seen) < angleFromDown(turn)
        ? along(from, way, hitCircle(from, way, posteriorCentre, posterior))
        : onDistal
    },
  }
}

/** The ray that pairs a bone-side point with its bearing point: level above the hub, from the hub below it. */
export function rayThrough(hub: SagittalPoint, bone: SagittalPoint): { from: SagittalPoint; way: SagittalPoint } {
  const from: SagittalPoint = bone[1] > hub[1] ? [hub[0], bone[1]] : hub
  return { from, way: unit2([bone[0] - from[0], bone[1] - from[1]]) }
}

/** Where the lowest point lies ahead of the posterior circle's centre, as a share of the difference of the radii. */
const lowestAheadOfPosteriorCentre = 0.45
/** The distal circle gives way to the anterior one this far ahead of straight down, radians. */
const distalArcEnds = (38 * Math.PI) / 180

const dot = (a: SagittalPoint, b: SagittalPoint): number => a[0] * b[0] + a[1] * b[1]
const along = (from: SagittalPoint, way: SagittalPoint, mm: number): SagittalPoint => [
  from[0] + mm * way[0],
  from[1] + mm * way[1],
]
const unit2 = (a: SagittalPoint): SagittalPoint => {
  const l = Math.hypot(a[0], a[1])
  return [a[0] / l, a[1] / l]
}
/** Signed angle from straight down, anterior positive, −π…π. */
const angleFromDown = (a: SagittalPoint): number => Math.atan2(a[0], -a[1])

/** Farther crossing of a ray from inside a circle. */
function hitCircle(from: SagittalPoint, way: SagittalPoint, centre: SagittalPoint, radius: number): number {
  const rel: SagittalPoint = [from[0] - centre[0], from[1] - centre[1]]
  const b = dot(rel, way)
  return -b + Math.sqrt(Math.max(0, b * b - dot(rel, rel) + radius * radius))
}
