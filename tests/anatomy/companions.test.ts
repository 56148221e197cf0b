import { describe, expect, it } from 'vitest'
import { findTibia } from '../../src/anatomy/find-tibia.ts'
import { guessBone } from '../../src/anatomy/guess-bone.ts'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import { measureAngles } from '../../src/anatomy/measure-angles.ts'
import { type Companion, type KneeEnds, measureCompanions } from '../../src/anatomy/measure-companions.ts'
import {
  type CompanionName,
  defaultReferences,
  type FemurAnatomy,
  type LandmarkOverrides,
  type TibiaAnatomy,
} from '../../src/anatomy/terms.ts'
import { clip } from '../../src/geometry/clip.ts'
import { volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { identityRigid, type Rigid } from '../../src/geometry/rigid.ts'
import { flipWinding, mapMesh } from '../../src/geometry/transform.ts'
import { add, addScaled, distance, reject, scale, sub, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear, expectOk } from '../near.ts'
import { boneOf, femurOf, randomMotion, realMesh, tibiaOf } from './bones.ts'

/** The part of a mesh on one side of a plane, closed by a flat face as a scan's end is. */
const kept = (mesh: Mesh, point: Vec3, normal: Vec3): Mesh => expectOk(clip(mesh, { point, normal })).kept

/** As the case reads a file: wound outward. */
const outward = (name: string): Mesh => {
  const mesh = realMesh(name)
  return volume(mesh) > 0 ? mesh : { ...mesh, triangles: flipWinding(mesh.triangles) }
}

const companion = (part: CompanionName, mesh: Mesh): Companion => ({
  part,
  file: { sha256: '0'.repeat(64), name: `${part}.stl`, unitFactor: 1, repairs: [] },
  bone: boneOf(mesh),
})

const measured = (companions: readonly Companion[], knee: KneeEnds): LandmarkOverrides => {
  const { landmarks, failures } = measureCompanions(companions, knee)
  expect(failures).toEqual([])
  return landmarks
}

const oblique = randomMotion(seededRandom(11))
const still = identityRigid
/** Every bone as published; the first of each kind in an oblique frame too. */
const frames: readonly (readonly [string, Rigid, number])[] = [
  ['as published', still, 9],
  ['in an oblique frame', oblique, 1],
]

const wholeFemurs = ['bp3d/femur_right.stl', 'hra/femur_left.ply', 'other/femur_right_upside_down.stl'] as const
const wholeTibiae = ['bp3d/tibia_right.stl', 'hra/tibia_right.ply', 'defects/tibia_left_inward.stl'] as const

describe.each(frames)('a femoral head in a file of its own, %s', (_, motion, most) => {
  it.each(wholeFemurs.slice(0, most))(
    '%s gives the hip centre of the whole bone, from the head alone to half the bone',
    (file) => {
      const mesh = mapMesh(outward(file), motion)
      const whole = femurOf(mesh)
      const { origin, y } = whole.frame
      const hip = whole.landmarks.hipCentre!.mm
      const neck =
        whole.shape?.neck ?? unit(addScaled(scale(y, -0.7), whole.frame.z, whole.side === 'right' ? 0.7 : -0.7))
      const stump = femurOf(kept(mesh, addScaled(origin, y, 110), scale(y, -1)))
      const parts = [
        kept(mesh, addScaled(hip, neck, 18), scale(neck, -1)),
        kept(mesh, addScaled(hip, y, -30), y),
        kept(mesh, addScaled(hip, y, -100), y),
      ]
      for (const part of parts) {
        const guess = guessBone(boneOf(part))
        expect(guess).toMatchObject({ bone: 'unknown', companion: 'femoral-head' })
        expect(guess.confidence).toBeGreaterThan(0.6)
        const given = measured([companion('femoral-head', part)], { femur: stump, tibia: null })
        expectNear(distance(given.hipCentre!.mm, hip), 0, {
          absMm: 0.3,
          because: 'the task’s own limit for a hip centre',
        })
        expect(given.hipCentre!.from!.radiusMm).toBeGreaterThan(20)
        expect(given.hipCentre!.from!.confidence).toBeGreaterThan(0.75)
      }
    },
  )
})

describe.each(frames)('a distal tibia in a file of its own, %s', (_, motion, most) => {
  it.each(wholeTibiae.slice(0, most))('%s gives ankle centre and medial malleolus of the whole bone', (file) => {
    const mesh = mapMesh(outward(file), motion)
    const whole = tibiaOf(mesh)
    const { origin, y, x } = whole.frame
    const ankle = whole.landmarks.ankleCentre!.mm
    const stump = tibiaOf(kept(mesh, addScaled(origin, y, -100), y))
    for (const [above, lean] of [
      [25, 0],
      [60, 0.25],
      [150, -0.25],
    ] as const) {
      const part = kept(mesh, addScaled(ankle, y, above), scale(unit(addScaled(y, x, lean)), -1))
      const guess = guessBone(boneOf(part))
      expect(guess, `${above} mm`).toMatchObject({ bone: 'unknown', companion: 'distal-tibia' })
      const given = measured([companion('distal-tibia', part)], { femur: null, tibia: stump })
      expectNear(distance(given.ankleCentre!.mm, ankle), 0, { absMm: 1, because: 'the task’s own limit' })
      expectNear(distance(given.malleolusMedial!.mm, whole.landmarks.malleolusMedial!.mm), 0, {
        absMm: 1,
        because: 'the same tip along an axis that differs by the knee centre of a short stump',
      })
      const alone = measured([companion('distal-tibia', part)], { femur: null, tibia: null })
      expectNear(distance(alone.ankleCentre!.mm, ankle), 0, {
        absMm: 3,
        because: 'without a knee only the file’s own shaft or cut tells the direction',
      })
      expect(alone.ankleCentre!.from!.reason).toMatch(/was not open/)
    }
  })
})

describe.each(frames)('a fibula beside its tibia, %s', (_, motion, most) => {
  it.each(
    [
      ['bp3d/fibula_right.stl', 'bp3d/tibia_right.stl'] as const,
      ['hra/fibula_left.ply', 'hra/tibia_left.ply'] as const,
    ].slice(0, most),
  )('%s gives the lateral malleolus, whole or its lower end, and the ankle between the malleoli', (file, tibiaFile) => {
    const fibula = mapMesh(outward(file), motion)
    const tibia = tibiaOf(mapMesh(outward(tibiaFile), motion))
    const { y } = tibia.frame
    const ankle = tibia.landmarks.ankleCentre!.mm
    const lower = kept(fibula, addScaled(ankle, y, 60), scale(y, -1))
    const tips = [fibula, lower].map((mesh) => {
      expect(guessBone(boneOf(mesh))).toMatchObject({ bone: 'unknown', companion: 'fibula' })
      return measured([companion('fibula', mesh)], { femur: null, tibia }).malleolusLateral!
    })
    expectNear(distance(tips[0]!.mm, tips[1]!.mm), 0, { absMm: 1e-6, because: 'the same surface about the tip' })
    // The lateral malleolus reaches farther down than the medial one (anatomy textbooks; common knowledge).
    const down = (p: Vec3) => -(p[0] * y[0] + p[1] * y[1] + p[2] * y[2])
    expect(down(tips[0]!.mm)).toBeGreaterThan(down(tibia.landmarks.malleolusMedial!.mm))
    const references = { ...defaultReferences, ankleCentre: 'malleoli' } as const
    const between = tibiaOf(mapMesh(outward(tibiaFile), motion), { malleolusLateral: tips[0]! }, references)
    // The tips lie below the plafond, so the middle between them does too; beside the axis it hardly moves.
    expect(distance([0, 0, 0], reject(sub(between.landmarks.ankleCentre!.mm, ankle), y))).toBeLessThan(10)
    const { failures } = measureCompanions(
      [companion('fibula', kept(fibula, addScaled(tibia.frame.origin, y, -60), y))],
      { femur: null, tibia },
    )
    expect(failures.map(({ code }) => code)).toEqual(['anatomy/not-this-part'])
  })
})

describe('a knee of two stumps and its companions', () => {
  const femurMesh = outward('bp3d/femur_right.stl')
  const tibiaMesh = outward('bp3d/tibia_right.stl')
  const femur = femurOf(femurMesh)
  const tibia = tibiaOf(tibiaMesh)
  const measure = (f: FemurAnatomy, t: TibiaAnatomy, references = defaultReferences) =>
    measureAngles(f, t, { references, frame: 'unknown' }).angles
  const up = femur.frame.y
  const down = tibia.frame.y
  const stumps = {
    femur: kept(femurMesh, addScaled(femur.frame.origin, up, 120), scale(up, -1)),
    tibia: kept(tibiaMesh, addScaled(tibia.frame.origin, down, -110), down),
  }
  const files = [
    companion('femoral-head', kept(femurMesh, addScaled(femur.landmarks.hipCentre!.mm, up, -35), up)),
    companion('distal-tibia', kept(tibiaMesh, addScaled(tibia.landmarks.ankleCentre!.mm, down, 40), scale(down, -1))),
    companion('fibula', outward('bp3d/fibula_right.stl')),
  ]
  const ends = { femur: femurOf(stumps.femur), tibia: tibiaOf(stumps.tibia) }

  it('has the angles of the whole bones', () => {
    const landmarks = measured(files, ends)
    const whole = measure(femur, tibiaOf(tibiaMesh, { malleolusLateral: landmarks.malleolusLateral! }))
    const joined = measure(femurOf(stumps.femur, landmarks), tibiaOf(stumps.tibia, landmarks))
    for (const name of ['hkaDeg', 'ldfaDeg', 'mptaDeg', 'slopeMedialDeg', 'tibialTorsionDeg'] as const)
      expectNear(joined[name]!, whole[name]!, {
        absDeg: 0.3,
        because: 'the tubercle is sought a little lower on a short scan, which may turn the frame',
      })
    // The neck is not on the knee's own file: what needs it stays withheld.
    expect(joined.anteversionDeg).toBeNull()
  })

  it('takes the ankle between the malleoli when that is asked for', () => {
    const references = { ...defaultReferences, ankleCentre: 'malleoli' } as const
    const landmarks = measured(files, ends)
    const wanted = tibiaOf(tibiaMesh, { malleolusLateral: landmarks.malleolusLateral! }, references)
    const got = tibiaOf(stumps.tibia, landmarks, references)
    expectNear(distance(got.landmarks.ankleCentre!.mm, wanted.landmarks.ankleCentre!.mm), 0, {
      absMm: 1,
      because: 'half the differences of both tips',
    })
  })

  it('says from which file a landmark is, with its residual', () => {
    const landmarks = measured(files, ends)
    const { hipCentre } = femurOf(stumps.femur, landmarks).landmarks
    expect(hipCentre).toMatchObject({ source: 'given', from: { part: 'femoral-head', file: 'femoral-head.stl' } })
    expect(hipCentre!.residualMm).toBeLessThan(0.5)
  })

  it('says so where the bone’s own file shows the same centre', () => {
    const { hipCentre, ankleCentre } = measured(files.slice(0, 2), { femur, tibia })
    expect(hipCentre!.from).toMatchObject({ reason: 'The femur’s own file shows its head too, 0.0 mm away.' })
    expect(ankleCentre!.from!.reason).toMatch(/The tibia’s own file shows its ankle too, 0\.\d mm away/)
    const shifted = { ...femur, head: { ...femur.head!, centre: addScaled(femur.head!.centre, up, 9) } }
    const beside = measured(files.slice(0, 1), { femur: shifted, tibia }).hipCentre!.from!
    expect(beside.reason).toBe('The femur’s own file shows its head too, 9.0 mm away.')
    expect(beside.confidence).toBeLessThan(0.1)
  })

  it('doubts a head too large for the knee, and an ankle whose malleoli lie on the wrong sides', () => {
    const hip = femur.landmarks.hipCentre!.mm
    const grown = (mesh: Mesh, by: number): Mesh => ({
      ...mesh,
      positions: mesh.positions.map((c, i) => hip[i % 3]! + by * (c - hip[i % 3]!)),
    })
    const head = (by: number) =>
      measured([companion('femoral-head', grown(files[0]!.bone.mesh, by))], ends).hipCentre!.from!
    expect(head(1)).toMatchObject({ reason: null })
    expect(head(1).confidence).toBeGreaterThan(0.75)
    expect(head(1.25).reason).toBe('The head is too large for this knee: it may be another leg’s.')
    expect(head(1.25).confidence).toBeLessThan(0.4)
    const { z } = tibia.frame
    const ankle = tibia.landmarks.ankleCentre!.mm
    const positions = files[1]!.bone.mesh.positions.slice()
    for (let i = 0; i < positions.length; i += 3) {
      const out = [0, 1, 2].reduce((sum, k) => sum + (positions[i + k]! - ankle[k]!) * z[k]!, 0)
      for (let k = 0; k < 3; k++) positions[i + k]! -= 2 * out * z[k]!
    }
    const mirrored: Mesh = { positions, triangles: flipWinding(files[1]!.bone.mesh.triangles) }
    const other = measured([companion('distal-tibia', mirrored)], ends).ankleCentre!.from!
    expect(other.reason).toBe('The medial malleolus lies on the other side of the ankle: it may be another leg’s.')
    expect(other.confidence).toBeLessThan(0.4)
  })

  it('doubts a centre that no scan shows where it leans off the shaft or makes the bone too long, and takes what is usual as fair', () => {
    const { x, y, z } = tibia.frame
    const ankle = tibia.landmarks.ankleCentre!.mm
    const said = (by: Vec3, source: 'set' | 'given' = 'given') => {
      const mm = add(ankle, by)
      return judgedLandmarks(stumps.tibia, tibiaOf(stumps.tibia, { ankleCentre: { mm, source } })).landmarks
        .ankleCentre!
    }
    const unseen = 'No surface shows it: only its distance and direction from the knee could be checked.'
    expect(said([0, 0, 0])).toMatchObject({ confidence: 0.7, reason: unseen })
    expect(said(scale(z, 90)).reason).toMatch(
      /^The axis to it leans -?1\d° medially off the shaft, where -\d° to \d° are usual\.$/,
    )
    expect(said(scale(z, -120)).confidence).toBeLessThan(0.4)
    expect(said(scale(x, 110), 'set').reason).toMatch(/forwards off the shaft/)
    expect(said(scale(y, -110)).reason).toMatch(
      /^It makes this bone 4\d\d mm long, where \d+ to \d+ mm are usual for a knee so wide\.$/,
    )
    const hip = femur.landmarks.hipCentre!.mm
    const across = scale(femur.frame.z, femur.side === 'right' ? -180 : 180)
    const wrongHip = femurOf(stumps.femur, { hipCentre: { mm: add(hip, across), source: 'given' } })
    expect(judgedLandmarks(stumps.femur, wrongHip).landmarks.hipCentre!.confidence).toBeLessThan(0.1)
  })

  it('refuses files that lie in another frame', () => {
    const elsewhere = randomMotion(seededRandom(5))
    const strangers = files.map((c) => companion(c.part, mapMesh(c.bone.mesh, elsewhere)))
    const { landmarks, failures } = measureCompanions(strangers, ends)
    expect(landmarks).toEqual({})
    expect(failures.map(({ code }) => code)).toEqual(Array(3).fill('anatomy/other-frame'))
  })

  it('refuses a file that is not what it is given as', () => {
    const { failures } = measureCompanions([companion('femoral-head', files[1]!.bone.mesh)], ends)
    expect(failures.map(({ code }) => code)).toEqual(['anatomy/not-this-part'])
  })
})

describe('files that are no companions', () => {
  it.each([
    'bp3d/femur_right.stl',
    'hra/tibia_left.ply',
    'bp3d/patella_right.stl',
    'hra/patella_left.ply',
    'mri/distal_femur_right_1.ply',
    'mri/distal_femur_right_3.ply',
    'mri/proximal_tibia_right_1.stl',
    'other/tibia_right_coarse.ply',
  ])('%s is not taken for one', (file) => {
    expect(guessBone(boneOf(outward(file))).companion).toBeNull()
  })

  it('and a companion is not taken for the knee’s end of a tibia', () => {
    const mesh = outward('bp3d/femur_right.stl')
    const { landmarks, frame } = femurOf(mesh)
    const proximal = kept(mesh, addScaled(landmarks.hipCentre!.mm, frame.y, -100), frame.y)
    const found = findTibia(boneOf(proximal), { references: defaultReferences })
    expect(found.ok ? 'ok' : found.failure.message).toMatch(/a femoral head, without the knee/)
  })
})
