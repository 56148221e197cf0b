import type { FemurAnatomy, Side, TibiaAnatomy } from '../../anatomy/terms.ts'
import { sideFactor } from '../../anatomy/terms.ts'
import { mapPoint, mapVector, type Rigid } from '../../geometry/rigid.ts'
import { addScaled, scale, type Vec3 } from '../../geometry/vec.ts'
import type { PlannedCut } from '../../planning/planned.ts'
import type { CutId } from '../../planning/terms.ts'
import { femoralCutFields, tibialCutFields } from '../stages/cut-fields.ts'
import type { DocumentField } from '../stages/document-field.ts'
import { inPlane } from './handle-drag.ts'

/** A handle that moves a cut: an arrow along the normal, or an arc that tilts it. */
export interface CutHandle {
  readonly kind: 'depth' | 'angle'
  readonly field: DocumentField
  /** From the sheet's centre to the handle, unit; for an angle also the arm it turns on. */
  readonly arm: Vec3
  readonly reachMm: number
  /** Unit: the way the handle is pulled when the number grows. */
  readonly grows: Vec3
}

/** A cut as a thin framed sheet in the scene. */
export interface CutSheet {
  readonly id: CutId
  readonly centre: Vec3
  readonly normal: Vec3
  /** Unit, in the sheet; half-lengths in mm. */
  readonly u: Vec3
  readonly v: Vec3
  readonly halfU: number
  readonly halfV: number
  readonly handles: readonly CutHandle[]
}

interface SheetInput {
  readonly cut: PlannedCut
  readonly side: Side
  readonly anatomy: FemurAnatomy | TibiaAnatomy
  readonly sceneFromBone: Rigid
}

/**
 * The sheet of a planned cut and the handles its numbers have. Signs as in the conventions: varus and valgus lower the
 * medial edge, slope lowers the posterior edge, femoral flexion the anterior one, external rotation brings the medial
 * edge of the posterior cut forward. null for a cut that is not planned.
 */
export function cutSheet({ cut, side, anatomy, sceneFromBone }: SheetInput): CutSheet | null {
  if (!cut.point || !cut.normal) return null
  const normal = mapVector(sceneFromBone, cut.normal)
  const anterior = mapVector(sceneFromBone, anatomy.frame.x)
  const proximal = mapVector(sceneFromBone, anatomy.frame.y)
  const medial = mapVector(sceneFromBone, scale(anatomy.frame.z, -sideFactor(side)))
  const upright = cut.id === 'femur-posterior' || cut.id === 'femur-anterior'
  const u = inPlane(medial, normal)
  const v = inPlane(upright ? proximal : anterior, normal)
  if (!u || !v) return null
  const sheet = {
    id: cut.id,
    centre: mapPoint(sceneFromBone, cut.point),
    normal,
    u,
    v,
    halfU: 56,
    halfV: upright ? 34 : 42,
  }
  return { ...sheet, handles: handlesOf(sheet, proximal) }
}

type BareSheet = Omit<CutSheet, 'handles'>

function handlesOf({ id, normal, u, v, halfU, halfV }: BareSheet, proximal: Vec3): readonly CutHandle[] {
  const up: Vec3 =
    normal[0] * proximal[0] + normal[1] * proximal[1] + normal[2] * proximal[2] > 0 ? normal : scale(normal, -1)
  const down = scale(up, -1)
  const lateral = scale(u, -1)
  if (id === 'tibia') {
    return [
      { kind: 'depth', field: tibialCutFields.depth, arm: lateral, reachMm: halfU + 6, grows: down },
      { kind: 'angle', field: tibialCutFields.varus, arm: u, reachMm: halfU + 10, grows: down },
      { kind: 'angle', field: tibialCutFields.slope, arm: v, reachMm: halfV + 10, grows: up },
    ]
  }
  if (id === 'femur-distal') {
    return [
      { kind: 'depth', field: femoralCutFields.depth, arm: lateral, reachMm: halfU + 6, grows: up },
      { kind: 'angle', field: femoralCutFields.valgus, arm: u, reachMm: halfU + 10, grows: down },
      { kind: 'angle', field: femoralCutFields.flexion, arm: v, reachMm: halfV + 10, grows: down },
    ]
  }
  // The posterior sheet's normal points forward into the kept bone.
  if (id === 'femur-posterior') {
    return [{ kind: 'angle', field: femoralCutFields.rotation, arm: u, reachMm: halfU + 10, grows: normal }]
  }
  return []
}

export const sheetCorners = ({ centre, u, v, halfU, halfV }: CutSheet): readonly Vec3[] =>
  [
    [1, 1],
    [-1, 1],
    [-1, -1],
    [1, -1],
  ].map(([a, b]) => addScaled(addScaled(centre, u, a! * halfU), v, b! * halfV))
