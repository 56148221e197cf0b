import { describe, expect, it } from 'vitest'
import { makeLeg } from '../../demo-models/leg.ts'
import { femoralShape } from '../../src/anatomy/femoral-shape.ts'
import { findFemur } from '../../src/anatomy/find-femur.ts'
import { findTibia } from '../../src/anatomy/find-tibia.ts'
import { guessBone } from '../../src/anatomy/guess-bone.ts'
import { measureAngles } from '../../src/anatomy/measure-angles.ts'
import { defaultReferences, type FemurAnatomy, type LandmarkId, type TibiaAnatomy } from '../../src/anatomy/terms.ts'
import { posteriorDistalFemoralDeg } from '../../src/anatomy/torsion.ts'
import { clip } from '../../src/geometry/clip.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { intoFrame, inverse, mapPoint } from '../../src/geometry/rigid.ts'
import { mirrorMesh } from '../../src/geometry/transform.ts'
import { addScaled, distance, dot, scale, type Vec3 } from '../../src/geometry/vec.ts'
import { shaftFlexionDeg } from '../../src/planning/recipe.ts'
import { expectNear, expectOk } from '../near.ts'
import { boneOf, disguised, femurOf, randomMotion, realMesh, tibiaOf } from './bones.ts'

const measure = (femur: FemurAnatomy, tibia: TibiaAnatomy) =>
  measureAngles(femur, tibia, { references: defaultReferences, frame: 'unknown' })

/** The part of a mesh on one side of a plane, closed by a flat face as a scan's end is. */
const kept = (mesh: Mesh, point: Vec3, normal: Vec3): Mesh => expectOk(clip(mesh, { point, normal })).kept

describe('a distal femur from an MRI scan', () => {
  it.each(['mri/distal_femur_right_1.ply', 'mri/distal_femur_right_2.ply', 'mri/distal_femur_right_3.ply'])(
    '%s is recognised with its condyles and notch, its hip missing',
    (file) => {
      const mesh = realMesh(file)
      expect(guessBone(boneOf(mesh))).toMatchObject({ bone: 'femur', side: 'right' })
      const femur = femurOf(mesh)
      expect(femur.side).toBe('right')
      expect(femur.truncated).toBe(true)
      expect(femur.head).toBeNull()
      expect(femur.landmarks.hipCentre).toBeUndefined()
      // The files lie as in a scanner: +z up, −y forward.
      expect(femur.frame.y[2]).toBeGreaterThan(0.9)
      expect(-femur.frame.x[1]).toBeGreaterThan(0.85)
      const at = (id: LandmarkId) => mapPoint(intoFrame(femur.frame), femur.landmarks[id]!.mm)
      for (const end of ['Medial', 'Lateral'] as const) {
        expect(at(`condyleDistal${end}`)[1]).toBeLessThan(-2)
        expect(at(`condylePosterior${end}`)[0]).toBeLessThan(-25)
        expect(Math.abs(at(`condyleDistal${end}`)[2])).toBeGreaterThan(15)
      }
    },
  )

  it('tells nothing that needs a hip and says so', () => {
    const femur = femurOf(realMesh('mri/distal_femur_right_2.ply'))
    const tibia = tibiaOf(realMesh('mri/proximal_tibia_right_1.stl'))
    const { angles, warnings } = measure(femur, tibia)
    for (const name of [
      'ldfaDeg',
      'mptaDeg',
      'mptaPlainDeg',
      'hkaDeg',
      'jlcaDeg',
      'arithmeticHkaDeg',
      'coronalType',
    ] as const) {
      expect(angles[name], name).toBeNull()
      expect(warnings.flatMap((w) => w.spoils)).toContain(`angles.${name}`)
    }
    expect(angles.posteriorCondylarDeg).not.toBeNull()
    expect(Math.abs(angles.slopeMedialDeg!)).toBeLessThan(15)
    expect(warnings.map((w) => w.code)).toContain('anatomy/slope-axis')
  })
})

describe('the shaft of a femur cut off above the knee', () => {
  const mesh = realMesh('bp3d/femur_right.stl')
  const whole = femurOf(mesh)
  const shaped = (part: Mesh) => {
    const femur = femurOf(part)
    return { ...femur, shape: femoralShape(boneOf(part), femur) }
  }
  const cutAt = (mm: number) =>
    shaped(kept(mesh, addScaled(whole.frame.origin, whole.frame.y, mm), scale(whole.frame.y, -1)))

  it('is told from 120 mm of it, and the posterior distal femoral angle with it', () => {
    const short = cutAt(120)
    expect(short.shaftUnclear).toBeUndefined()
    expectNear(posteriorDistalFemoralDeg(short)!, posteriorDistalFemoralDeg(shaped(mesh))!, {
      absDeg: 4,
      because: 'the flare of the condyles bends the lower end of a short shaft',
    })
  })

  it('is not told from 70 mm, nor is what stands on it', () => {
    const short = cutAt(70)
    expect(short.shaftUnclear).toMatch(/^The scan ends \d\d mm above the joint: too short/)
    expect(posteriorDistalFemoralDeg(short)).toBeNull()
    expect(shaftFlexionDeg(short)).toBe(0)
  })
})

describe('a proximal tibia from an MRI scan', () => {
  const mesh = realMesh('mri/proximal_tibia_right_1.stl')

  it('is recognised with plateaus, spines, notch and tubercle, its ankle missing', () => {
    expect(guessBone(boneOf(mesh))).toMatchObject({ bone: 'tibia', side: 'right' })
    const tibia = tibiaOf(mesh)
    expect(tibia.side).toBe('right')
    expect(tibia.truncated).toBe(true)
    expect(tibia.landmarks.ankleCentre).toBeUndefined()
    expect(-tibia.frame.x[1]).toBeGreaterThan(0.9)
    const at = (id: LandmarkId) => mapPoint(intoFrame(tibia.frame), tibia.landmarks[id]!.mm)
    expect(at('plateauMedial')[2]).toBeLessThan(-15)
    expect(at('plateauLateral')[2]).toBeGreaterThan(15)
    expect(at('tubercle')[1]).toBeLessThan(-25)
  })

  it('is found the same in any position and order, and mirrored is a left one', () => {
    const random = seededRandom(3)
    const motion = randomMotion(random)
    const still = tibiaOf(mesh)
    const moved = tibiaOf(disguised(mesh, motion, random))
    for (const id of Object.keys(still.landmarks) as LandmarkId[])
      expect(distance(mapPoint(inverse(motion), moved.landmarks[id]!.mm), still.landmarks[id]!.mm), id).toBeLessThan(
        1e-5,
      )
    expect(tibiaOf(mirrorMesh(mesh)).side).toBe('left')
  })
})

describe('a whole bone cut off and its missing joint centre given', () => {
  it.each([
    ['bp3d/femur_right.stl', 90],
    ['bp3d/femur_right.stl', 160],
    ['hra/femur_right.ply', 250],
    ['hra/femur_left.ply', 100],
    ['other/femur_right_upside_down.stl', 110],
  ] as const)('%s, cut %d mm above the knee, has the landmarks of the whole bone', (file, above) => {
    const mesh = realMesh(file)
    const whole = femurOf(mesh)
    const stump = kept(mesh, addScaled(whole.frame.origin, whole.frame.y, above), scale(whole.frame.y, -1))
    const hip = { mm: whole.landmarks.hipCentre!.mm, source: 'given' } as const
    const part = femurOf(stump, { hipCentre: hip })
    expect(part.side).toBe(whole.side)
    expect(part.truncated).toBe(false)
    for (const id of [
      'notchCentre',
      'condyleDistalMedial',
      'condyleDistalLateral',
      'condylePosteriorMedial',
      'condylePosteriorLateral',
    ] as const)
      expect(distance(part.landmarks[id]!.mm, whole.landmarks[id]!.mm), id).toBeLessThan(1e-3)
    expect(femurOf(stump).truncated).toBe(true)
  })

  it.each([
    ['bp3d/tibia_right.stl', 80],
    ['hra/tibia_left.ply', 100],
    ['hra/tibia_right.ply', 220],
    ['defects/tibia_left_inward.stl', 120],
  ] as const)('%s, cut %d mm below the knee, has the landmarks of the whole bone', (file, below) => {
    const mesh = realMesh(file)
    const whole = tibiaOf(mesh)
    const stump = kept(mesh, addScaled(whole.frame.origin, whole.frame.y, -below), whole.frame.y)
    const ankle = { mm: whole.landmarks.ankleCentre!.mm, source: 'given' } as const
    const part = tibiaOf(stump, { ankleCentre: ankle })
    expect(part.side).toBe(whole.side)
    expect(part.truncated).toBe(false)
    for (const id of ['spinesCentre', 'plateauMedial', 'plateauLateral', 'posteriorNotch'] as const)
      expectNear(distance(part.landmarks[id]!.mm, whole.landmarks[id]!.mm), 0, {
        absMm: 0.5,
        because: `${id}: the tubercle is sought a little lower on a short scan, which may turn the frame`,
      })
  })
})

describe('a tibia whose scan ends close below the joint', () => {
  it.each(['bp3d/tibia_right.stl', 'hra/tibia_right.ply', 'defects/tibia_left_inward.stl'])(
    '%s cut 55 mm down is not read back to front, and tells no slope against a shaft it does not show',
    (file) => {
      const whole = tibiaOf(realMesh(file))
      const { origin, x, y } = whole.frame
      const short = tibiaOf(kept(realMesh(file), addScaled(origin, y, -55), y))
      expect(short.side).toBe(whole.side)
      expect(dot(short.frame.x, x)).toBeGreaterThan(Math.cos((25 * Math.PI) / 180))
      expect(short.medial.slopeUnclear).toMatch(/too short for a shaft axis/)
      expect(short.lateral.slopeUnclear).toMatch(/too short/)
      expect(tibiaOf(kept(realMesh(file), addScaled(origin, y, -90), y)).medial.slopeUnclear).toBeNull()
    },
  )

  it.each(['bp3d/tibia_right.stl', 'hra/tibia_right.ply'])('%s cut 45 mm down takes the declared side', (file) => {
    const { frame, side } = tibiaOf(realMesh(file))
    const bone = boneOf(kept(realMesh(file), addScaled(frame.origin, frame.y, -45), frame.y))
    expect(expectOk(findTibia(bone, { references: defaultReferences, side })).side).toBe(side)
  })
})

describe('a bone whose knee is cut off', () => {
  it.each([
    ['bp3d/femur_right.stl', 60, findFemur, /femoral head, without the knee/],
    ['bp3d/tibia_right.stl', -20, findTibia, /ends in a flat face where its knee should be/],
    ['hra/tibia_right.ply', -20, findTibia, /ends in a flat face where its knee should be/],
  ] as const)('%s, cut %d mm from the joint, is refused with the reason', (file, mm, find, reason) => {
    const mesh = realMesh(file)
    const { frame } = find === findFemur ? femurOf(mesh) : tibiaOf(mesh)
    const rest = kept(mesh, addScaled(frame.origin, frame.y, mm), scale(frame.y, Math.sign(mm)))
    const found = find(boneOf(rest), { references: defaultReferences })
    expect(found.ok ? 'found' : found.failure.message).toMatch(reason)
  })

  it('has a flat end told that few large triangles close on a fine mesh', () => {
    const { femur } = makeLeg()
    const whole = femurOf(femur)
    const short = femurOf(kept(femur, addScaled(whole.frame.origin, whole.frame.y, 120), scale(whole.frame.y, -1)))
    expect(short.truncated).toBe(true)
    expect(dot(short.frame.y, whole.frame.y)).toBeGreaterThan(Math.cos((9 * Math.PI) / 180))
  })
})
