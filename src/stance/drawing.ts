import type { Side } from '../anatomy/terms.ts'
import type { StanceFindings } from '../findings.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { outline, type Point2 } from '../geometry/outline.ts'
import { mapPoint, type Rigid, rotate, transpose } from '../geometry/rigid.ts'
import { addScaled, dot, sub, toDeg, type Vec3 } from '../geometry/vec.ts'
import type { PoseName } from './terms.ts'

/** The standing leg seen from the front, mm: first coordinate to the viewer's right (the subject's left), second up from the floor. */
export interface StanceDrawing {
  readonly pose: PoseName
  readonly side: Side
  readonly femur: readonly (readonly Point2[])[]
  readonly tibia: readonly (readonly Point2[])[]
  /** Ends of the tray's medio-lateral extent. */
  readonly tray: { readonly medial: Point2; readonly lateral: Point2 }
  /** Slope of the drawn bar, degrees, medial end lower positive. */
  readonly barDeg: number
}

export interface TrayExtent {
  /** Patient frame of the tibia; `medial` is unit. */
  readonly centre: Vec3
  readonly medial: Vec3
  readonly outline: readonly Vec3[]
}

const cellMm = 1.5

/** Frontal outlines of both posed bones and the tray's bar; meshes and tray in their own patient frames. */
export function stanceDrawing(
  side: Side,
  stance: StanceFindings,
  femur: Mesh,
  tibia: Mesh,
  tray: TrayExtent,
): StanceDrawing {
  const along = tray.outline.map((p) => dot(sub(p, tray.centre), tray.medial))
  const end = (mm: number) => frontal(mapPoint(stance.stanceFromTibia, addScaled(tray.centre, tray.medial, mm)))
  const medial = end(Math.max(0, ...along))
  const lateral = end(Math.min(0, ...along))
  return {
    pose: stance.pose,
    side,
    femur: frontalOutline(femur, stance.stanceFromFemur),
    tibia: frontalOutline(tibia, stance.stanceFromTibia),
    tray: { medial, lateral },
    barDeg: toDeg(Math.atan2(lateral[1] - medial[1], Math.abs(lateral[0] - medial[0]))),
  }
}

/** A point of the stance frame as the viewer in front of the subject sees it. */
const frontal = (p: Vec3): Point2 => [-p[2], p[1]]

function frontalOutline(mesh: Mesh, stanceFromBone: Rigid): Point2[][] {
  const boneFromStance = transpose(stanceFromBone.rotation)
  const [, y, z] = stanceFromBone.translation
  return outline(
    mesh,
    { u: rotate(boneFromStance, [0, 0, -1]), v: rotate(boneFromStance, [0, 1, 0]), offset: [-z, y] },
    cellMm,
  )
}
