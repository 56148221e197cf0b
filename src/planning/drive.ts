import { fail, ok, type Result } from '../failure.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { midpoint, reject, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { condyleSupport } from './condyles.ts'
import { externalRotationOf, femoralAngles, femoralPosteriorNormal, tibialAngles } from './cut-normals.ts'
import { departureFromAxis, departureFromPlane, verticalFromAxis, verticalFromPlane } from './drive-alone.ts'
import { facing, tooSteep } from './drive-direction.ts'
import { legAxes } from './leg-axes.ts'
import type { PlanInput } from './plan.ts'
import { type CutId, type CutOverrides, femoralCutIds, onFace } from './terms.ts'

/** Cuts a plane or an axis of the user's can drive. */
export type DrivenCut = CutId

/** All of them, those of the tibia first. */
export const drivenCuts: readonly DrivenCut[] = ['tibia', 'tibia-vertical', ...femoralCutIds]

/**
 * The overrides that lay a cut on a plane the user fitted (bone's patient frame, either side up). The posterior femoral cut stays
 * square to the distal one, so of its plane only rotation and depth are taken; both move the component, and their own departures end.
 * Anterior and chamfer cuts depart from the component. A plane steeper than 45° to the cut it should drive: `case/out-of-range`.
 */
export function overridesFromPlane(input: PlanInput, cut: DrivenCut, plane: Plane): Result<CutOverrides> {
  const { cuts, recipeOptions, procedure } = input.choices
  if (cut === 'tibia') {
    const { tibia } = input
    const axes = legAxes(tibia.frame, tibia.side)
    const normal = facing(plane.normal, scale(axes.proximal, -1))
    if (normal === null) return tooSteep(cut)
    const on: Plane = { point: plane.point, normal }
    const depth = (p: Vec3) => 0 - signedDistance(on, p)
    const from = procedure === 'medial-partial' ? 'medial' : recipeOptions.tibialDepthFrom
    const start = from === 'mean' ? midpoint(tibia.medial.point, tibia.lateral.point) : tibia[from].point
    return ok({ ...cuts, tibia: { ...cuts.tibia, ...tibialAngles(axes, normal), depthMm: depth(start) } })
  }
  if (cut === 'tibia-vertical') return verticalFromPlane(input, plane)
  if (cut !== 'femur-distal' && cut !== 'femur-posterior') return departureFromPlane(input, cut, plane)
  const { femur, femurBone } = input
  const departures = { ...cuts.departures, [cut]: onFace }
  const axes = legAxes(femur.frame, femur.side)
  const support = condyleSupport(femur, femurBone, axes)
  const normal = facing(plane.normal, cut === 'femur-distal' ? axes.proximal : axes.anterior)
  if (normal === null) return tooSteep(cut)
  const site = support('medial', normal)
  if (site === null) return fail('cut/misses-bone', 'The medial condyle has no surface where the cut looks for it.')
  const depthMm = 0 - signedDistance({ point: plane.point, normal }, site)
  if (cut === 'femur-distal')
    return ok({ ...cuts, departures, femur: { ...cuts.femur, ...femoralAngles(axes, normal), distalMm: depthMm } })
  const line = condylarLine(input)
  if (line === null) return fail('landmark/missing', 'Rotation needs both posterior condyle points.')
  return ok({
    ...cuts,
    departures,
    femur: { ...cuts.femur, rotationDeg: externalRotationOf(axes, line, normal), posteriorMm: depthMm },
  })
}

/**
 * The overrides that turn a cut by an axis the user fitted (direction in the bone's patient frame): tibial and distal femoral cut
 * square to it, posterior femoral cut parallel to it as seen along the femur, the others as drive-alone.ts says. Depth stays as the
 * recipe says. An axis more than 45° off: `case/out-of-range`.
 */
export function overridesFromAxis(input: PlanInput, cut: DrivenCut, direction: Vec3): Result<CutOverrides> {
  const { cuts } = input.choices
  if (cut === 'tibia') {
    const axes = legAxes(input.tibia.frame, input.tibia.side)
    const normal = facing(unit(direction), scale(axes.proximal, -1))
    return normal === null ? tooSteep(cut) : ok({ ...cuts, tibia: { ...cuts.tibia, ...tibialAngles(axes, normal) } })
  }
  if (cut === 'tibia-vertical') return verticalFromAxis(input, direction)
  if (cut !== 'femur-distal' && cut !== 'femur-posterior') return departureFromAxis(input, cut, direction)
  const axes = legAxes(input.femur.frame, input.femur.side)
  if (cut === 'femur-distal') {
    const normal = facing(unit(direction), axes.proximal)
    return normal === null ? tooSteep(cut) : ok({ ...cuts, femur: { ...cuts.femur, ...femoralAngles(axes, normal) } })
  }
  const line = condylarLine(input)
  if (line === null) return fail('landmark/missing', 'Rotation needs both posterior condyle points.')
  const across = facing(unit(reject(direction, axes.proximal)), axes.lateral)
  if (across === null) return tooSteep(cut)
  const square = femoralPosteriorNormal(axes, across, axes.proximal, 0)
  return ok({ ...cuts, femur: { ...cuts.femur, rotationDeg: externalRotationOf(axes, line, square) } })
}

function condylarLine({ femur }: PlanInput): Vec3 | null {
  const [m, l] = [femur.landmarks.condylePosteriorMedial?.mm, femur.landmarks.condylePosteriorLateral?.mm]
  return m && l ? sub(l, m) : null
}
