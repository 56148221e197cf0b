import { describe, expect, it } from 'vitest'
import { makeLeg } from '../../demo-models/leg.ts'
import { findTibia } from '../../src/anatomy/find-tibia.ts'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import { measureAngles } from '../../src/anatomy/measure-angles.ts'
import { settleSide } from '../../src/anatomy/settle-side.ts'
import { defaultReferences, type FemurAnatomy, type References } from '../../src/anatomy/terms.ts'
import { mapMesh, mirrorMesh } from '../../src/geometry/transform.ts'
import {
  add,
  addScaled,
  angleBetween,
  cross,
  distance,
  dot,
  midpoint,
  sub,
  toDeg,
  unit,
} from '../../src/geometry/vec.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { boneOf, femurOf, tibiaOf } from './bones.ts'

const leg = makeLeg({}, { edgeMm: 2.5 })
const femur = femurOf(leg.femur)
const tibia = tibiaOf(leg.tibia)
const choose = (change: Partial<References>): References => ({ ...defaultReferences, ...change })
const measured = measureAngles(femur, tibia, { references: defaultReferences, frame: 'unknown' })

describe('a landmark set by hand', () => {
  it('moves the frame and the angles with it: the hip 10 mm lateral on 430 mm adds atan(10/430) to LDFA', () => {
    const lateral = femur.side === 'right' ? 1 : -1
    const hip = addScaled(femur.landmarks.hipCentre!.mm, femur.frame.z, 10 * lateral)
    const moved = femurOf(leg.femur, { hipCentre: { mm: hip, source: 'set' } })
    const after = measureAngles(moved, tibia, { references: defaultReferences, frame: 'unknown' }).angles
    const length = distance(femur.frame.origin, femur.landmarks.hipCentre!.mm)
    expectNear(after.ldfaDeg! - measured.angles.ldfaDeg!, -toDeg(Math.atan(10 / length)), {
      absDeg: 0.05,
      because: 'the frame turns too, and the knee centre a little with it',
    })
    const reason = 'Set by hand, 10.0 mm from where the surface shows it.'
    const said = (bone: FemurAnatomy) => judgedLandmarks(leg.femur, bone, femur).landmarks.hipCentre!
    expect(said(moved)).toMatchObject({ mm: hip, source: 'set', reason })
    expect(said(moved).confidence).toBeLessThan(0.1)
    const near = addScaled(femur.landmarks.hipCentre!.mm, femur.frame.z, 0.8)
    expect(said(femurOf(leg.femur, { hipCentre: { mm: near, source: 'set' } }))).toMatchObject({
      confidence: 1,
      reason: null,
    })
  })

  it('stays exactly where it was put, whichever it is', () => {
    const knee = add(tibia.frame.origin, [1, 2, -3])
    const moved = tibiaOf(leg.tibia, { tibialKneeCentre: { mm: knee, source: 'given' } })
    expect(moved.frame.origin).toEqual(knee)
    expect(moved.landmarks.tibialKneeCentre!.source).toBe('given')
    const plateau = add(tibia.landmarks.plateauMedial!.mm, [0, 0, 1])
    expect(tibiaOf(leg.tibia, { plateauMedial: { mm: plateau, source: 'set' } }).medial.point).toEqual(plateau)
  })
})

describe('the alternative references', () => {
  it('put the femoral knee centre midway between the epicondyles', () => {
    const other = femurOf(leg.femur, {}, choose({ femoralKneeCentre: 'epicondyles' }))
    const middle = midpoint(other.landmarks.epicondyleMedial!.mm, other.landmarks.epicondyleLateral!.mm)
    expectNear(distance(other.frame.origin, middle), 0, { absMm: 1e-6, because: 'the definition' })
  })

  it('turn the femur to the epicondyle line or to the axis of the condylar cylinder', () => {
    const epicondylar = femurOf(leg.femur, {}, choose({ femoralMedioLateral: 'epicondylar' }))
    const line = sub(epicondylar.landmarks.epicondyleLateral!.mm, epicondylar.landmarks.epicondyleMedial!.mm)
    expectNear(dot(epicondylar.frame.x, unit(line)), 0, { abs: 1e-8, because: 'X is across the line' })
    const cylinder = femurOf(leg.femur, {}, choose({ femoralMedioLateral: 'condylar-cylinder' }))
    expectNear(dot(cylinder.frame.x, cylinder.condylarCylinder!.direction), 0, {
      abs: 1e-8,
      because: 'X is across the axis',
    })
  })

  it('put the tibial knee centre midway between the plateau points, or the points at the bottom of the plateaus', () => {
    const other = tibiaOf(leg.tibia, {}, choose({ tibialKneeCentre: 'plateaus' }))
    expectNear(distance(other.frame.origin, midpoint(other.medial.point, other.lateral.point)), 0, {
      absMm: 1e-5,
      because: 'the definition',
    })
    const deepest = tibiaOf(leg.tibia, {}, choose({ plateauPoint: 'deepest' }))
    expect(dot(sub(deepest.medial.point, tibia.medial.point), tibia.medial.normal)).toBeLessThan(0)
  })

  it('turn the tibia along its posterior tangent or with the femur', () => {
    const back = tibiaOf(leg.tibia, {}, choose({ tibialAnterior: 'posterior-tangent' }))
    expect(toDeg(angleBetween(back.frame.x, tibia.frame.x))).toBeLessThan(30)
    const carried = tibiaOf(leg.tibia, {}, choose({ tibialAnterior: 'femoral' }), femur)
    expectNear(dot(carried.frame.z, femur.frame.x), 0, { abs: 1e-9, because: 'Z is across the femoral front' })
  })

  it('are refused when what they need is missing', () => {
    const bone = boneOf(leg.tibia)
    expectFailure(findTibia(bone, { references: choose({ ankleCentre: 'malleoli' }) }), 'landmark/missing')
    expectFailure(findTibia(bone, { references: choose({ tibialAnterior: 'femoral' }) }), 'landmark/missing')
  })

  it('put the ankle centre midway between the malleolar tips when the lateral one is given', () => {
    const tip = tibia.landmarks.malleolusMedial!.mm
    const lateral = addScaled(tip, tibia.frame.z, 60)
    const other = tibiaOf(
      leg.tibia,
      { malleolusLateral: { mm: lateral, source: 'given' } },
      choose({ ankleCentre: 'malleoli' }),
    )
    expectNear(distance(other.landmarks.ankleCentre!.mm, midpoint(other.landmarks.malleolusMedial!.mm, lateral)), 0, {
      absMm: 1e-5,
      because: 'the definition',
    })
  })

  it('tell slope against the proximal shaft as the slope less the lean of the shaft', () => {
    const { angles } = measureAngles(femur, tibia, {
      references: choose({ slopeAxis: 'proximal-shaft' }),
      frame: 'unknown',
    })
    const along = dot(tibia.proximalShaft.direction, tibia.frame.y)
    const forward = dot(tibia.proximalShaft.direction, tibia.frame.x)
    expectNear(angles.slopeMedialDeg!, measured.angles.slopeMedialDeg! + toDeg(Math.atan2(forward, along)), {
      absDeg: 1e-9,
      because: 'both in the sagittal plane',
    })
  })
})

describe('the side of a leg', () => {
  const other = { femur: femurOf(mirrorMesh(leg.femur)), tibia: tibiaOf(mirrorMesh(leg.tibia)) }

  it('comes from shape when nothing is declared, and is confirmed when it is', () => {
    expect(expectOk(settleSide({ declared: null, femur, tibia, frame: 'unknown' }))).toMatchObject({
      side: 'right',
      sideSource: 'shape',
    })
    expect(expectOk(settleSide({ declared: 'right', femur, tibia, frame: 'unknown' }))).toMatchObject({
      side: 'right',
      sideSource: 'declared',
    })
  })

  it('contradicting the declared one is a failure', () => {
    expectFailure(settleSide({ declared: 'left', femur, tibia, frame: 'unknown' }), 'anatomy/side-contradiction')
    expectFailure(settleSide({ declared: 'right', ...other, frame: 'unknown' }), 'anatomy/side-contradiction')
  })

  it('differing between the two bones is a failure', () => {
    expectFailure(
      settleSide({ declared: null, femur: other.femur, tibia, frame: 'unknown' }),
      'anatomy/side-contradiction',
    )
  })

  it('warns that a mirrored export cannot be excluded when shape alone tells it', () => {
    const settled = expectOk(settleSide({ declared: null, femur, tibia, frame: 'unknown' }))
    expect(settled.warnings.map((w) => w.code)).toEqual(['anatomy/side-from-shape'])
    expect(expectOk(settleSide({ declared: 'right', femur, tibia, frame: 'unknown' })).warnings).toEqual([])
  })
})

describe('a relative pose that is not plausible', () => {
  const shifted = (x: number, y: number, z: number) =>
    tibiaOf(mapMesh(leg.tibia, { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [x, y, z] }))

  it('withholds HKA, JLCA and the pose and names their paths, and keeps the angles of each bone', () => {
    const { angles, relativePose, warnings } = measureAngles(femur, shifted(0, 0, -300), {
      references: defaultReferences,
      frame: 'unknown',
    })
    expect(relativePose.shared).toBe(false)
    for (const name of ['hkaDeg', 'hkaOneCentreDeg', 'jlcaDeg', 'jlcaLinesDeg', 'kneePose'] as const) {
      expect(angles[name]).toBeNull()
      expect(warnings.flatMap((w) => w.spoils)).toContain(`angles.${name}`)
    }
    expectNear(angles.ldfaDeg!, measured.angles.ldfaDeg!, { absDeg: 1e-9, because: 'one bone only' })
    expectNear(angles.mptaDeg!, measured.angles.mptaDeg!, { absDeg: 1e-6, because: 'one bone only' })
    expectNear(angles.arithmeticHkaDeg!, measured.angles.arithmeticHkaDeg!, {
      absDeg: 1e-6,
      because: 'each bone alone',
    })
  })

  it('is noticed for overlap, distraction and sideways offset alike', () => {
    const z = cross(femur.frame.x, femur.frame.y)
    for (const by of [
      [femur.frame.y, 12],
      [femur.frame.y, -25],
      [z, 30],
      [femur.frame.x, 45],
    ] as const) {
      const [direction, mm] = by
      const moved = shifted(direction[0] * mm, direction[1] * mm, direction[2] * mm)
      const { relativePose } = measureAngles(femur, moved, { references: defaultReferences, frame: 'unknown' })
      expect(relativePose.shared, relativePose.reason ?? '').toBe(false)
    }
  })
})
