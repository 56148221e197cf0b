import { fail, ok, type Result } from '../failure.ts'
import type { Plane } from '../geometry/plane.ts'
import type { Frame } from '../geometry/rigid.ts'
import { dot, length, reject, sub, toDeg, unit, type Vec3 } from '../geometry/vec.ts'
import { chooseComponents } from './choose.ts'
import { choosePartial } from './choose-partial.ts'
import type { ComponentFace } from './component-faces.ts'
import { departureTo } from './departures.ts'
import { facing, tooSteep } from './drive-direction.ts'
import { legAxes } from './leg-axes.ts'
import type { PlanInput } from './plan.ts'
import type { CutOverrides, FemoralCutId } from './terms.ts'

/** Femoral cuts that have no numbers of the component's box: a shape drives how they depart from it. */
export type CutDrivenAlone = Exclude<FemoralCutId, 'femur-distal' | 'femur-posterior'>

/** The departure that lays an anterior or chamfer cut on a fitted plane (bone's patient frame, either side up). Failures as in drive.ts. */
export function departureFromPlane(input: PlanInput, cut: CutDrivenAlone, plane: Plane): Result<CutOverrides> {
  const placed = placedFace(input, cut)
  if (!placed.ok) return placed
  const { face, frame } = placed.value
  const normal = facing(plane.normal, face.plane.normal)
  if (normal === null) return tooSteep(cut)
  return departing(input, cut, departureTo(face, frame, input.femur.side, { point: plane.point, normal }))
}

/**
 * The departure that turns an anterior or chamfer cut by a fitted axis: square to one within 45° of the cut's normal, else
 * parallel to it by the least turn. Its depth stays as it was.
 */
export function departureFromAxis(input: PlanInput, cut: CutDrivenAlone, direction: Vec3): Result<CutOverrides> {
  const placed = placedFace(input, cut)
  if (!placed.ok) return placed
  const { face, frame } = placed.value
  const along = unit(direction)
  const normal = facing(along, face.plane.normal) ?? unit(reject(face.plane.normal, along))
  const turned = departureTo(face, frame, input.femur.side, { point: face.middle, normal })
  const { deeperMm } = input.choices.cuts.departures[cut]
  return departing(input, cut, { ...turned, deeperMm })
}

/** The numbers that lay a partial's vertical cut on a fitted plane; of a leaning plane its trace at the knee centre's level is taken. */
export function verticalFromPlane(input: PlanInput, plane: Plane): Result<CutOverrides> {
  const { tibia, choices } = input
  if (choices.procedure !== 'medial-partial') return noSuchCut('tibia-vertical')
  const axes = legAxes(tibia.frame, tibia.side)
  const normal = facing(plane.normal, axes.lateral)
  if (normal === null) return tooSteep('tibia-vertical')
  const flat = unit(reject(normal, axes.proximal))
  const verticalMm = dot(normal, sub(axes.origin, plane.point)) / dot(normal, flat)
  const rotationDeg = 0 - toDeg(Math.atan2(dot(flat, axes.anterior), dot(flat, axes.lateral)))
  return ok({ ...choices.cuts, tibia: { ...choices.cuts.tibia, rotationDeg, verticalMm } })
}

/** The rotation that stands a partial's vertical cut parallel to an axis seen along the tibia, or square to one that runs side to side. */
export function verticalFromAxis(input: PlanInput, direction: Vec3): Result<CutOverrides> {
  const { tibia, choices } = input
  if (choices.procedure !== 'medial-partial') return noSuchCut('tibia-vertical')
  const axes = legAxes(tibia.frame, tibia.side)
  const across = reject(unit(direction), axes.proximal)
  if (length(across) < Math.SQRT1_2) return tooSteep('tibia-vertical')
  const flat = unit(across)
  const forward = facing(flat, axes.anterior)
  const lateral = facing(flat, axes.lateral) ?? flat
  const turn = forward
    ? Math.atan2(dot(forward, axes.lateral), dot(forward, axes.anterior))
    : Math.atan2(0 - dot(lateral, axes.anterior), dot(lateral, axes.lateral))
  return ok({ ...choices.cuts, tibia: { ...choices.cuts.tibia, rotationDeg: toDeg(turn) } })
}

function placedFace(
  input: PlanInput,
  cut: CutDrivenAlone,
): Result<{ readonly face: ComponentFace; readonly frame: Frame }> {
  const faceIn = (faces: readonly ComponentFace[], frame: Frame) => {
    const face = faces.find(({ id }) => id === cut)
    return face ? ok({ face, frame }) : noSuchCut(cut)
  }
  if (input.choices.procedure === 'total') {
    const total = chooseComponents(input)
    return total.ok ? faceIn(total.value.sawn.faces, total.value.femoralFit.box.frame) : total
  }
  const partial = choosePartial(input)
  return partial.ok ? faceIn(partial.value.sawn.faces, partial.value.femoral.frame) : partial
}

function departing(
  { choices: { cuts } }: PlanInput,
  cut: CutDrivenAlone,
  departure: CutOverrides['departures'][CutDrivenAlone],
): Result<CutOverrides> {
  return ok({ ...cuts, departures: { ...cuts.departures, [cut]: departure } })
}

const noSuchCut = (cut: string) =>
  fail('case/out-of-range', `There is no ${cut} cut in this procedure.`, {
    hint: 'Drive another cut with it, or change the procedure.',
    place: cut,
  })
