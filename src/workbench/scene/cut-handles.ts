import { addScaled, cross, dot, scale, unit, type Vec3 } from '../../geometry/vec.ts'
import type { CutId, FemoralCutId, Procedure } from '../../planning/terms.ts'
import { departureFields, femoralCutFields, tibialCutFields, trayShifts, verticalField } from '../stages/cut-fields.ts'
import type { DocumentField } from '../stages/document-field.ts'
import type { CutSheet } from './cut-sheet.ts'

/** A handle that moves a cut: an arrow along which it is shifted, or an arc that turns it. */
export interface CutHandle {
  readonly kind: 'depth' | 'angle'
  readonly field: DocumentField
  /** From the sheet's centre to the handle, unit; for an angle also the arm it turns on. */
  readonly arm: Vec3
  readonly reachMm: number
  /** Unit: the way the handle is pulled when the number grows. */
  readonly grows: Vec3
  /** Where the field's own label does not say it short. */
  readonly says?: string
  /** Only while one looks onto the sheet: it moves within it and would crowd the other views. */
  readonly seenFromAbove?: boolean
}

/** Cuts that carry handles, in the order in which they are offered. */
export const handledCuts: Readonly<Record<Procedure, readonly CutId[]>> = {
  total: [
    'tibia',
    'femur-distal',
    'femur-posterior',
    'femur-anterior',
    'femur-chamfer-posterior',
    'femur-chamfer-anterior',
  ],
  'medial-partial': ['tibia', 'tibia-vertical', 'femur-distal', 'femur-posterior', 'femur-chamfer-posterior'],
}

interface Directions {
  readonly procedure: Procedure
  readonly anterior: Vec3
  readonly proximal: Vec3
}

/**
 * The handles of a cut's sheet. The femoral box is one piece: its anterior and chamfer cuts go with the depth of the posterior
 * and distal ones, its turns turn all of them. Directions are those of the bone, unit, in the scene.
 */
export function handlesOf(
  { id, normal, u, v, halfU, halfV }: Omit<CutSheet, 'handles'>,
  { procedure, anterior, proximal }: Directions,
): readonly CutHandle[] {
  const up = dot(normal, proximal) > 0 ? normal : scale(normal, -1)
  const down = scale(up, -1)
  const lateral = scale(u, -1)
  const { depth, valgus, flexion, rotation, posterior, shift } = femoralCutFields
  switch (id) {
    case 'tibia':
      return [
        { kind: 'depth', field: tibialCutFields.depth, arm: lateral, reachMm: halfU + 6, grows: down },
        { kind: 'angle', field: tibialCutFields.varus, arm: u, reachMm: halfU + 10, grows: down },
        { kind: 'angle', field: tibialCutFields.slope, arm: v, reachMm: halfV + 10, grows: up },
        { kind: 'angle', field: tibialCutFields.rotation, arm: v, reachMm: halfV + 24, grows: lateral },
        ...shiftsOfTray(procedure, lateral, v, halfU, halfV),
      ]
    case 'tibia-vertical':
      return [
        { kind: 'depth', field: verticalField, arm: u, reachMm: halfU + 6, grows: scale(normal, -1) },
        {
          kind: 'angle',
          field: tibialCutFields.rotation,
          arm: scale(u, -1),
          reachMm: halfU + 10,
          grows: scale(normal, -1),
        },
      ]
    case 'femur-distal':
      return [
        { kind: 'depth', field: depth, says: 'Distal depth', arm: lateral, reachMm: halfU + 6, grows: up },
        { kind: 'angle', field: valgus, arm: u, reachMm: halfU + 10, grows: down },
        { kind: 'angle', field: flexion, arm: v, reachMm: halfV + 10, grows: down },
        {
          kind: 'depth',
          field: shift,
          says: 'Component lateral',
          arm: lateral,
          reachMm: halfU + 22,
          grows: lateral,
          seenFromAbove: true,
        },
      ]
    // The posterior sheet's normal points forward into the kept bone, the anterior one's backward.
    case 'femur-posterior':
      return [
        { kind: 'depth', field: posterior, says: 'Posterior depth', arm: lateral, reachMm: halfU + 6, grows: normal },
        { kind: 'angle', field: rotation, arm: u, reachMm: halfU + 10, grows: normal },
      ]
    case 'femur-anterior': {
      const forward = scale(normal, -1)
      return [
        { kind: 'depth', field: posterior, says: 'Posterior depth', arm: lateral, reachMm: halfU + 6, grows: forward },
        { kind: 'angle', field: rotation, arm: u, reachMm: halfU + 10, grows: forward },
        { kind: 'angle', field: flexion, arm: v, reachMm: halfV + 10, grows: forward },
      ]
    }
    case 'femur-chamfer-posterior':
    case 'femur-chamfer-anterior':
      return [
        {
          kind: 'depth',
          field: depth,
          says: 'Distal depth',
          arm: lateral,
          reachMm: halfU + 6,
          grows: along(proximal, u),
        },
        {
          kind: 'depth',
          field: posterior,
          says: 'Posterior depth',
          arm: u,
          reachMm: halfU + 6,
          grows: along(anterior, u),
        },
      ]
  }
}

/** The handles of one femoral cut alone: it leaves its component by depth and by two turns about the middle of the component's face. */
export function handlesAlone(
  { normal, u, v, halfU, halfV }: Omit<CutSheet, 'handles'>,
  id: FemoralCutId,
  { anterior, proximal }: Directions,
): readonly CutHandle[] {
  const { deeper, flexion, medial } = departureFields(id)
  // Flexion turns about the transverse axis, anterior edge down: where that takes the far edge of the sheet.
  const turned = cross(v, cross(anterior, proximal))
  return [
    { kind: 'depth', field: deeper, says: 'Deeper', arm: scale(u, -1), reachMm: halfU + 6, grows: normal },
    { kind: 'angle', field: medial, says: 'Medial edge', arm: u, reachMm: halfU + 10, grows: normal },
    {
      kind: 'angle',
      field: flexion,
      says: 'As in flexion',
      arm: v,
      reachMm: halfV + 10,
      grows: scale(normal, dot(turned, normal) < 0 ? -1 : 1),
    },
  ]
}

/** Side to side a partial's tray goes with its vertical cut, which has that handle; its own shift is a number in the panel. */
const shiftsOfTray = (
  procedure: Procedure,
  lateral: Vec3,
  forward: Vec3,
  halfU: number,
  halfV: number,
): readonly CutHandle[] => [
  ...(procedure === 'total'
    ? [
        {
          kind: 'depth' as const,
          field: trayShifts[0],
          says: 'Tray lateral',
          arm: lateral,
          reachMm: halfU + 22,
          grows: lateral,
          seenFromAbove: true,
        },
      ]
    : []),
  {
    kind: 'depth',
    field: trayShifts[1],
    says: 'Tray forward',
    arm: scale(forward, -1),
    reachMm: halfV + 16,
    grows: forward,
    seenFromAbove: true,
  },
]

/** A direction of the bone, square to the sheet's medial edge. */
const along = (direction: Vec3, across: Vec3): Vec3 => unit(addScaled(direction, across, -dot(direction, across)))
