import { type Side, sideFactor } from '../anatomy/terms.ts'
import { mapPoint, mapVector } from '../geometry/rigid.ts'
import { addScaled, dot, scale, sub, toRad, type Vec3 } from '../geometry/vec.ts'
import type { PlacedTray } from '../planning/planned.ts'
import type { Standing } from '../stance/standing.ts'

/** The tray's axes standing, and where the hip–ankle line crosses a plane above its face. */
export interface LoadLine {
  readonly normal: Vec3
  readonly lateral: Vec3
  readonly anterior: Vec3
  /** From the tray's centre, mm, at `heightMm` above its bone-side face. */
  readonly atLateralMm: number
  readonly atAnteriorMm: number
  readonly heightMm: number
}

/**
 * Where the line from hip to ankle centre (a leg without muscles carries along it) crosses the level of the bearing,
 * in tray coordinates; stance frame inside. The line runs in the frontal plane through the ankle at the leg's lean.
 */
export function loadLine(standing: Standing, tray: PlacedTray, side: Side, heightMm: number): LoadLine {
  const s = sideFactor(side)
  const toStance = standing.stanceFromTibia
  const normal = mapVector(toStance, tray.normal)
  const lateral = mapVector(toStance, scale(tray.medial, -1))
  const anterior = mapVector(toStance, scale(tray.posterior, -1))
  const middle = addScaled(mapPoint(toStance, tray.centre), normal, heightMm)
  const lean = toRad(standing.legLeanDeg)
  const along: Vec3 = [0, Math.cos(lean), s * Math.sin(lean)]
  const ankle: Vec3 = [0, standing.ankleHeightMm, s * standing.ankleHalfSpacingMm]
  const steep = dot(along, normal)
  const reach = Math.abs(steep) > 1e-6 ? dot(sub(middle, ankle), normal) / steep : 0
  const crossing = sub(addScaled(ankle, along, reach), middle)
  return {
    normal,
    lateral,
    anterior,
    atLateralMm: dot(crossing, lateral),
    atAnteriorMm: dot(crossing, anterior),
    heightMm,
  }
}

/** Points of the tray's plane in its own coordinates: lateral, anterior, mm from its centre. */
export function inTrayPlane(tray: PlacedTray): (p: Vec3) => readonly [number, number] {
  return (p) => {
    const d = sub(p, tray.centre)
    return [-dot(d, tray.medial), -dot(d, tray.posterior)]
  }
}
