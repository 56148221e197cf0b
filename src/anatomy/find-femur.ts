import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { add, distance, dot, midpoint, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { type Bridge, bridgeCondyles, sideExtremes } from './bridge.ts'
import { type CondylarCylinder, fitCondylarCylinder } from './condylar-cylinder.ts'
import type { HeadSphere } from './head-sphere.ts'
import { foundLandmark, orOverride } from './landmark.ts'
import {
  directionOutOfLimb,
  frameOfLimb,
  type LimbFrame,
  limbFromLateral,
  meshIntoLimb,
  outOfLimb,
  sideOfLimb,
  slab,
} from './limb.ts'
import { notchSaddle } from './notch-saddle.ts'
import { recogniseWhole } from './recognise.ts'
import { shaftAxis } from './shaft-axis.ts'
import type { FemurAnatomy, Landmark, LandmarkId, LandmarkOverrides, References, Side } from './terms.ts'

export interface FemurChoices {
  readonly references: References
  readonly overrides?: LandmarkOverrides
  /** Declared side; used only where shape cannot tell. */
  readonly side?: Side
}

/** Share of L up to which a femur counts as its distal part. */
const distalShare = 0.12

/**
 * Finds everything on one femur from its shape alone: head, condyles, notch, epicondyles, shaft and frame (definitions
 * in DEVELOPERS.md), iterated until the frame stays. Landmarks set by hand replace the found ones and the frame follows.
 * A surface that is no whole femur: `anatomy/not-a-femur`.
 */
export function findFemur(bone: BoneMesh, choices: FemurChoices): Result<FemurAnatomy> {
  const overrides = choices.overrides ?? {}
  const seen = recogniseWhole(bone.mesh)
  if (seen.bone !== 'femur')
    return fail(
      'anatomy/not-a-femur',
      seen.bone === 'tibia' ? 'This bone is a tibia.' : `This is not a whole femur. ${seen.reason}`,
      {
        hint: 'Check which file was given as the femur.',
      },
    )
  const hip = overrides.hipCentre?.mm ?? seen.head.centre
  const distal = slab(bone.mesh, seen.limb.origin, seen.limb.proximal, -0.2 * seen.lengthMm, 0.12 * seen.lengthMm)
  const settled = settleFrame(distal, seen.limb, hip, choices.references, overrides)
  if (settled === null)
    return fail('anatomy/not-a-femur', 'The condyles and the notch of this femur could not be found.', {
      hint: 'Set the knee centre and the condyle points by hand.',
    })
  return assemble(bone, settled, seen.head, hip, overrides)
}

/** What the distal end shows in one frame; limb coordinates, mm. */
interface Distal {
  readonly posterior: Bridge
  readonly distal: Bridge
  readonly epicondyles: Bridge
  readonly notch: Vec3
  readonly cylinder: CondylarCylinder | null
}

interface Settled {
  readonly limb: LimbFrame
  readonly distal: Distal
}

/** Reads the distal end and rebuilds the frame from it until both stay. */
function settleFrame(
  mesh: Mesh,
  start: LimbFrame,
  hip: Vec3,
  references: References,
  overrides: LandmarkOverrides,
): Settled | null {
  let limb = start
  let distal: Distal | null = null
  for (let round = 0; round < 60; round++) {
    distal = readDistal(meshIntoLimb(mesh, limb), limb, hip, references)
    if (distal === null) return null
    const next = frameFrom(limb, distal, hip, references, overrides)
    const moved =
      distance(next.origin, limb.origin) +
      100 * (distance(next.proximal, limb.proximal) + distance(next.lateral, limb.lateral))
    // A pair of contact points can alternate for ever; half steps end on the frame between the two.
    limb = round < 25 ? next : between(limb, next)
    if (moved < 1e-9) break
  }
  return distal === null ? null : { limb, distal }
}

function between(a: LimbFrame, b: LimbFrame): LimbFrame {
  return limbFromLateral(
    midpoint(a.origin, b.origin),
    add(a.proximal, b.proximal),
    add(a.lateral, b.lateral),
    add(a.anterior, b.anterior),
  )
}

function readDistal(part: Mesh, limb: LimbFrame, hip: Vec3, references: References): Distal | null {
  const top = distalShare * distance(hip, limb.origin)
  const first = bridgeCondyles(part, 'posterior', top, 0)
  if (first === null) return null
  const split = (first.medial[2] + first.lateral[2]) / 2
  const posterior = bridgeCondyles(part, 'posterior', top, split)
  const distal = bridgeCondyles(part, 'distal', top, split)
  const epicondyles = sideExtremes(part, 0, top)
  if (posterior === null || distal === null || epicondyles === null) return null
  const middle = (distal.medial[2] + distal.lateral[2]) / 2
  const notch = notchSaddle(
    part,
    { medial: distal.medial[2], split: middle, lateral: distal.lateral[2] },
    { posterior: (posterior.medial[0] + posterior.lateral[0]) / 2 + 8, anterior: furthestForward(part, top) - 2 },
  )
  if (notch === null) return null
  const wantsCylinder = references.femoralMedioLateral === 'condylar-cylinder'
  return {
    posterior,
    distal,
    epicondyles,
    notch,
    cylinder: wantsCylinder ? fitCondylarCylinder(part, posterior, top) : null,
  }
}

function furthestForward(part: Mesh, topMm: number): number {
  let most = Number.NEGATIVE_INFINITY
  const p = part.positions
  for (let i = 0; i < p.length; i += 3) if (p[i + 1]! <= topMm && p[i]! > most) most = p[i]!
  return most
}

function frameFrom(
  limb: LimbFrame,
  found: Distal,
  hip: Vec3,
  references: References,
  overrides: LandmarkOverrides,
): LimbFrame {
  const at = (id: LandmarkId, q: Vec3): Vec3 => overrides[id]?.mm ?? outOfLimb(limb, q)
  const epicondyleMedial = at('epicondyleMedial', found.epicondyles.medial)
  const epicondyleLateral = at('epicondyleLateral', found.epicondyles.lateral)
  const notch = at('notchCentre', found.notch)
  const knee =
    overrides.femoralKneeCentre?.mm ??
    (references.femoralKneeCentre === 'notch' ? notch : midpoint(epicondyleMedial, epicondyleLateral))
  const posteriorLine = sub(
    at('condylePosteriorLateral', found.posterior.lateral),
    at('condylePosteriorMedial', found.posterior.medial),
  )
  const line =
    references.femoralMedioLateral === 'epicondylar'
      ? sub(epicondyleLateral, epicondyleMedial)
      : references.femoralMedioLateral === 'condylar-cylinder' && found.cylinder
        ? directionOutOfLimb(limb, found.cylinder.direction)
        : posteriorLine
  return limbFromLateral(knee, sub(hip, knee), line, limb.anterior)
}

function assemble(
  bone: BoneMesh,
  { limb, distal }: Settled,
  head: HeadSphere,
  hip: Vec3,
  overrides: LandmarkOverrides,
): Result<FemurAnatomy> {
  const length = distance(hip, limb.origin)
  const shaft = shaftAxis(bone, limb.origin, limb.proximal, 0.2 * length, 0.8 * length)
  const distalShaft = shaftAxis(bone, limb.origin, limb.proximal, 0.2 * length, 0.45 * length)
  if (shaft === null || distalShaft === null)
    return fail('anatomy/not-a-femur', 'The shaft of this femur could not be followed.')
  const part = meshIntoLimb(
    slab(bone.mesh, limb.origin, limb.proximal, -0.2 * length, (distalShare + 0.02) * length),
    limb,
  )
  const cylinder = distal.cylinder ?? fitCondylarCylinder(part, distal.posterior, distalShare * length)
  const landmarks: Partial<Record<LandmarkId, Landmark>> = {}
  const put = (id: LandmarkId, landmark: Landmark | null) => {
    const chosen = orOverride(id, landmark, overrides)
    if (chosen !== null) landmarks[id] = chosen
  }
  const found = (id: LandmarkId, q: Vec3, confidence: number) =>
    put(id, foundLandmark(id, outOfLimb(limb, q), confidence))
  put('hipCentre', foundLandmark('hipCentre', head.centre, headConfidence(head), head.rmsMm))
  found('notchCentre', distal.notch, 0.9)
  put('femoralKneeCentre', foundLandmark('femoralKneeCentre', limb.origin, 0.9))
  found('condyleDistalMedial', distal.distal.medial, 0.95)
  found('condyleDistalLateral', distal.distal.lateral, 0.95)
  found('condylePosteriorMedial', distal.posterior.medial, 0.95)
  found('condylePosteriorLateral', distal.posterior.lateral, 0.95)
  found('epicondyleMedial', distal.epicondyles.medial, 0.7)
  found('epicondyleLateral', distal.epicondyles.lateral, 0.75)
  const frame = frameOfLimb(limb)
  const right = cylinder === null ? null : directionOutOfLimb(limb, cylinder.direction)
  return ok({
    side: sideOfLimb(limb),
    landmarks,
    frame,
    head: { centre: head.centre, radiusMm: head.radiusMm, rmsMm: head.rmsMm },
    condylarCylinder:
      cylinder === null || right === null
        ? null
        : {
            point: outOfLimb(limb, cylinder.point),
            direction: dot(right, frame.z) >= 0 ? unit(right) : unit(scale(right, -1)),
            radiusMm: cylinder.radiusMm,
            rmsMm: cylinder.rmsMm,
          },
    distalShaft: { point: distalShaft.point, direction: distalShaft.direction },
    shaft: { point: shaft.point, direction: shaft.direction },
    truncated: false,
  })
}

/** High where the sphere leaves little over and covers as much as a head does. */
function headConfidence(head: HeadSphere): number {
  const residual = head.rmsMm / head.radiusMm
  return Math.min(1, 1.15 - 8 * residual) * Math.min(1, head.coverage / 0.45)
}
