import { dot, type Vec3 } from '../geometry/vec.ts'

/** A thickness reading turned into the distance of a surface point from the cut, along its normal. */
export interface FitReading {
  readonly distanceMm: number
  readonly pointAt: (normal: Vec3) => Vec3 | null
}

export interface ReadingFit {
  readonly normal: Vec3
  readonly offsetMm: number
  readonly tiltDeg: number
  readonly tiltSdDeg: number
  readonly pitchDeg: number
  readonly pitchSdDeg: number
  /** Tilt the readings would show if only the pitch were off by 1°. */
  readonly feignedTiltDegPerDeg: number
}

/**
 * Fits a cut plane to readings by Gauss and Newton with a numerical derivative; the points follow the normal. Offset is always
 * free, tilt and pitch as told. Null when a point is missing or the readings cannot settle what is free.
 */
export function fitPlaneToReadings(
  cut: { readonly normalAt: (tiltDeg: number, pitchDeg: number) => Vec3 },
  readings: readonly FitReading[],
  start: { readonly tiltDeg: number; readonly pitchDeg: number },
  free: { readonly tilt: boolean; readonly pitch: boolean },
  sdMm: number,
): ReadingFit | null {
  const heights = (tilt: number, pitch: number): number[] | null => {
    const normal = cut.normalAt(tilt, pitch)
    const out: number[] = []
    for (const { pointAt, distanceMm } of readings) {
      const point = pointAt(normal)
      if (point === null) return null
      // Each reading alone would put the plane here.
      out.push(dot(normal, point) + distanceMm)
    }
    return out
  }
  let { tiltDeg, pitchDeg } = start
  let jacobian: readonly number[][] = []
  let offsetMm = 0
  for (let round = 0; round < 30; round++) {
    const at = heights(tiltDeg, pitchDeg)
    if (at === null || at.length === 0) return null
    jacobian = columns(heights, tiltDeg, pitchDeg, at, free)
    const solved = leastSquares(jacobian, at)
    if (solved === null) return null
    offsetMm = solved.x[0]!
    const dTilt = free.tilt ? solved.x[1]! : 0
    const dPitch = free.pitch ? solved.x[free.tilt ? 2 : 1]! : 0
    tiltDeg += dTilt
    pitchDeg += dPitch
    if (Math.abs(dTilt) + Math.abs(dPitch) < 1e-10) break
  }
  const covariance = leastSquares(
    jacobian,
    readings.map(() => 0),
  )?.inverse
  if (!covariance) return null
  const sd = (k: number) => sdMm * Math.sqrt(Math.max(0, covariance[k]![k]!))
  return {
    normal: cut.normalAt(tiltDeg, pitchDeg),
    offsetMm,
    tiltDeg,
    tiltSdDeg: free.tilt ? sd(1) : 0,
    pitchDeg,
    pitchSdDeg: free.pitch ? sd(free.tilt ? 2 : 1) : 0,
    feignedTiltDegPerDeg: feigned(heights, tiltDeg, pitchDeg, free),
  }
}

type Heights = (tilt: number, pitch: number) => number[] | null
const stepDeg = 0.05

/** Derivatives of (offset − height) by offset, tilt and pitch, one row per reading. */
function columns(
  heights: Heights,
  tilt: number,
  pitch: number,
  at: readonly number[],
  free: { readonly tilt: boolean; readonly pitch: boolean },
): number[][] {
  const byTilt = free.tilt ? difference(heights(tilt + stepDeg, pitch), heights(tilt - stepDeg, pitch)) : null
  const byPitch = free.pitch ? difference(heights(tilt, pitch + stepDeg), heights(tilt, pitch - stepDeg)) : null
  return at.map((_, i) => [1, ...(byTilt ? [-byTilt[i]!] : []), ...(byPitch ? [-byPitch[i]!] : [])])
}

function difference(high: number[] | null, low: number[] | null): number[] {
  return (high ?? []).map((v, i) => (v - (low?.[i] ?? v)) / (2 * stepDeg))
}

/** The tilt that moves the two first readings apart as 1° of pitch does. */
function feigned(heights: Heights, tilt: number, pitch: number, free: { readonly tilt: boolean }): number {
  if (!free.tilt) return 0
  const byTilt = difference(heights(tilt + stepDeg, pitch), heights(tilt - stepDeg, pitch))
  const byPitch = difference(heights(tilt, pitch + stepDeg), heights(tilt, pitch - stepDeg))
  const [apartByTilt, apartByPitch] = [byTilt[0]! - byTilt[1]!, byPitch[0]! - byPitch[1]!]
  return apartByTilt === 0 ? 0 : apartByPitch / apartByTilt
}

/** Normal equations of at most three unknowns; null when they are singular. */
function leastSquares(
  rows: readonly (readonly number[])[],
  values: readonly number[],
): { readonly x: readonly number[]; readonly inverse: readonly (readonly number[])[] } | null {
  const n = rows[0]?.length ?? 0
  const matrix = Array.from({ length: n }, (_, i) => [
    ...Array.from({ length: n }, (_, j) => rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0)),
    ...Array.from({ length: n }, (_, j) => (i === j ? 1 : 0)),
  ])
  for (let k = 0; k < n; k++) {
    const pivot = matrix.reduce(
      (best, row, i) => (i >= k && Math.abs(row[k]!) > Math.abs(matrix[best]![k]!) ? i : best),
      k,
    )
    ;[matrix[k], matrix[pivot]] = [matrix[pivot]!, matrix[k]!]
    const lead = matrix[k]![k]!
    if (Math.abs(lead) < 1e-12) return null
    for (let j = 0; j < 2 * n; j++) matrix[k]![j]! /= lead
    for (let i = 0; i < n; i++) {
      const factor = matrix[i]![k]!
      if (i !== k && factor !== 0) for (let j = 0; j < 2 * n; j++) matrix[i]![j]! -= factor * matrix[k]![j]!
    }
  }
  const inverse = matrix.map((row) => row.slice(n))
  const right = Array.from({ length: n }, (_, i) => rows.reduce((sum, row, k) => sum + row[i]! * values[k]!, 0))
  return { x: inverse.map((row) => row.reduce((sum, v, j) => sum + v * right[j]!, 0)), inverse }
}
