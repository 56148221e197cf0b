import { fail, ok, type Result } from '../failure.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { dot, midpoint, reject, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { condyleSupport } from './condyles.ts'
import { externalRotationOf, femoralAngles, femoralPosteriorNormal, tibialAngles } from './cut-normals.ts'
import { legAxes } from './leg-axes.ts'
import type { PlanInput } from './plan.ts'
import type { CutOverrides } from './terms.ts'

/** Cuts a plane or an axis of the user's can drive. */
export type DrivenCut = 'tibia' | 'femur-distal' | 'femur-posterior'

/**
 * The overrides that lay a cut on a plane the user fitted (bone's patient frame, either side up). The posterior femoral cut stays
 * square to the distal one, so of its plane only rotation and depth are taken. A plane steeper than 45° to the cut it should
 * drive: `case/out-of-range`.
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
  const { femur, femurBone } = input
  const axes = legAxes(femur.frame, femur.side)
  const support = condyleSupport(femur, femurBone, axes)
  const normal = facing(plane.normal, cut === 'femur-distal' ? axes.proximal : axes.anterior)
  if (normal === null) return tooSteep(cut)
  const site = support('medial', normal)
  if (site === null) return fail('cut/misses-bone', 'The medial condyle has no surface where the cut looks for it.')
  const depthMm = 0 - signedDistance({ point: plane.point, normal }, site)
  if (cut === 'femur-distal')
    return ok({ ...cuts, femur: { ...cuts.femur, ...femoralAngles(axes, normal), distalMm: depthMm } })
  const line = condylarLine(input)
  if (line === null) return fail('landmark/missing', 'Rotation needs both posterior condyle points.')
  return ok({
    ...cuts,
    femur: { ...cuts.femur, rotationDeg: externalRotationOf(axes, line, normal), posteriorMm: depthMm },
  })
}

/**
 * The overrides that turn a cut by an axis the user fitted (direction in the bone's patient frame): tibial and distal femoral cut
 * square to it, posterior femoral cut parallel to it as seen along the femur. Depth stays as the recipe says. An axis more than 45° off:
 * `case/out-of-range`.
 */
export function overridesFromAxis(input: PlanInput, cut: DrivenCut, direction: Vec3): Result<CutOverrides> {
  const { cuts } = input.choices
  if (cut === 'tibia') {
    const axes = legAxes(input.tibia.frame, input.tibia.side)
    const normal = facing(unit(direction), scale(axes.proximal, -1))
    return normal === null ? tooSteep(cut) : ok({ ...cuts, tibia: { ...cuts.tibia, ...tibialAngles(axes, normal) } })
  }
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

/** The direction or its opposite, whichever lies within 45° of `towards`; null when neither does. */
function facing(direction: Vec3, towards: Vec3): Vec3 | null {
  const along = dot(direction, towards)
  if (!(Math.abs(along) >= Math.SQRT1_2)) return null
  return along < 0 ? scale(direction, -1) : direction
}

function condylarLine({ femur }: PlanInput): Vec3 | null {
  const [m, l] = [femur.landmarks.condylePosteriorMedial?.mm, femur.landmarks.condylePosteriorLateral?.mm]
  return m && l ? sub(l, m) : null
}

const tooSteep = (cut: DrivenCut) =>
  fail('case/out-of-range', `That plane or axis stands more than 45° off the ${cut} cut.`, {
    hint: 'Fit it anew, or drive another cut with it.',
    place: cut,
  })
