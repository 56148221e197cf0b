import type { FemurAnatomy, Side, TibiaAnatomy } from '../../anatomy/terms.ts'
import { sideFactor } from '../../anatomy/terms.ts'
import { mapPoint, mapVector, type Rigid } from '../../geometry/rigid.ts'
import { addScaled, scale, type Vec3 } from '../../geometry/vec.ts'
import type { PlannedCut } from '../../planning/planned.ts'
import { type CutId, isFemoral, type Procedure } from '../../planning/terms.ts'
import { type CutHandle, handlesAlone, handlesOf } from './cut-handles.ts'
import { inPlane } from './handle-drag.ts'

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
  readonly procedure: Procedure
  readonly anatomy: FemurAnatomy | TibiaAnatomy
  readonly sceneFromBone: Rigid
  /** The handles are those of this cut alone, not of the component. */
  readonly alone?: boolean
}

/**
 * The sheet of a planned cut and the handles its numbers have. Signs as in the conventions: varus and valgus lower the
 * medial edge, slope lowers the posterior edge, femoral flexion the anterior one, external rotation brings the medial
 * edge of the posterior cut forward. null for a cut that is not planned.
 */
export function cutSheet({ cut, side, procedure, anatomy, sceneFromBone, alone = false }: SheetInput): CutSheet | null {
  if (!cut.point || !cut.normal) return null
  const normal = mapVector(sceneFromBone, cut.normal)
  const anterior = mapVector(sceneFromBone, anatomy.frame.x)
  const proximal = mapVector(sceneFromBone, anatomy.frame.y)
  const medial = mapVector(sceneFromBone, scale(anatomy.frame.z, -sideFactor(side)))
  const upright = cut.id !== 'tibia' && cut.id !== 'femur-distal'
  const u = inPlane(cut.id === 'tibia-vertical' ? anterior : medial, normal)
  const v = inPlane(upright ? proximal : anterior, normal)
  if (!u || !v) return null
  const sheet = {
    id: cut.id,
    centre: mapPoint(sceneFromBone, cut.point),
    normal,
    u,
    v,
    halfU: cut.id === 'tibia-vertical' ? 40 : 56,
    halfV: cut.id.includes('chamfer') ? 16 : upright ? 34 : 42,
  }
  const directions = { procedure, anterior, proximal }
  const handles = alone && isFemoral(cut.id) ? handlesAlone(sheet, cut.id, directions) : handlesOf(sheet, directions)
  return { ...sheet, handles }
}

export const sheetCorners = ({ centre, u, v, halfU, halfV }: CutSheet): readonly Vec3[] =>
  [
    [1, 1],
    [-1, 1],
    [-1, -1],
    [1, -1],
  ].map(([a, b]) => addScaled(addScaled(centre, u, a! * halfU), v, b! * halfV))
