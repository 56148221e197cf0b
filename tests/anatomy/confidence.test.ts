import { beforeAll, describe, expect, it } from 'vitest'
import { type Leg, makeLeg } from '../../demo-models/leg.ts'
import { chanceWithin } from '../../src/anatomy/chance-within.ts'
import { confidenceWord } from '../../src/anatomy/confidence-word.ts'
import { findFemur } from '../../src/anatomy/find-femur.ts'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import { implausible } from '../../src/anatomy/landmark-evidence.ts'
import { defaultSdMm } from '../../src/anatomy/landmark-sd.ts'
import { defaultReferences, type FemurAnatomy, type LandmarkId } from '../../src/anatomy/terms.ts'
import type { BoneMesh } from '../../src/geometry/bone.ts'
import { add, addScaled, scale, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear, expectOk } from '../near.ts'
import { boneOf } from './bones.ts'
import { degraded } from './degraded-legs.ts'

let leg: Leg
let femur: BoneMesh
let found: FemurAnatomy
beforeAll(() => {
  leg = makeLeg({}, { edgeMm: 4 })
  femur = boneOf(leg.femur)
  found = expectOk(findFemur(femur, { references: defaultReferences }))
}, 120_000)

const at = (id: LandmarkId, bone = found, alone: FemurAnatomy | null = null) =>
  judgedLandmarks(femur.mesh, bone, alone).landmarks[id]!
const moved = (id: LandmarkId, by: Vec3): FemurAnatomy => {
  const mark = found.landmarks[id]!
  const { x, y, z } = found.frame
  const mm = addScaled(addScaled(addScaled(mark.mm, x, by[0]), y, by[1]), z, by[2])
  return { ...found, landmarks: { ...found.landmarks, [id]: { ...mark, mm } } }
}

// How often a confidence holds over 200 legs is in confidence.check.ts.
describe('confidence', () => {
  it('is the chance to lie within a distance, two independent errors together (Rayleigh)', () => {
    expectNear(chanceWithin(2, 1), 1 - Math.exp(-2), { abs: 1e-12, because: 'closed form' })
    expectNear(chanceWithin(1, 2), 1 - Math.exp(-1 / 8), { abs: 1e-12, because: 'closed form' })
    expect(chanceWithin(1, 0)).toBe(1)
    expect([0.9, 0.5, 0.1].map(confidenceWord)).toEqual(['sure', 'fair', 'doubtful'])
  })

  it('of a contact point falls as the point is put farther from the extreme, and says so', () => {
    for (const [id, way] of [
      ['condyleDistalMedial', [1, 0.1, 0]],
      ['condylePosteriorLateral', [0.1, 1, 0]],
    ] as const) {
      // Within 2 mm a middle of a cap is not told from the extreme.
      const said = [0, 4, 6, 9].map((mm) => at(id, moved(id, [mm * way[0], mm * way[1], 0])))
      const confidences = said.map((mark) => mark.confidence)
      expect(confidences, id).toEqual(confidences.toSorted((a, b) => b - a))
      expect(confidences[0]! - confidences[3]!, id).toBeGreaterThan(0.3)
      expect(said[3]!.sdMm!, id).toBeGreaterThan(said[0]!.sdMm!)
    }
  })

  it('of a found landmark on a clean bone is high and its scatter that of the table', () => {
    for (const id of ['hipCentre', 'condyleDistalMedial', 'epicondyleLateral', 'notchCentre'] as const) {
      expect(at(id).confidence, id).toBeGreaterThan(0.75)
      expectNear(at(id).sdMm!, defaultSdMm[id].sdMm, { rel: 0.6, because: `${id}: little is added by the mesh` })
    }
  })

  it('of landmarks that cannot belong to one knee is never more than doubtful', () => {
    const far = moved('condyleDistalMedial', [0, 0, 60])
    expect(implausible('condyleDistalMedial', far.landmarks)).toMatch(/from its partner/)
    expect(confidenceWord(at('condyleDistalMedial', far).confidence)).toBe('doubtful')
    expect(implausible('condyleDistalMedial', found.landmarks)).toBeNull()
  })

  it('of a coarse, rough surface is lower, and the scatter larger, than of the clean one', () => {
    const rough = boneOf(degraded(leg.femur, { noiseMm: 0.8, cellMm: 3 }, 7))
    const bone = expectOk(findFemur(rough, { references: defaultReferences }))
    const judged = judgedLandmarks(rough.mesh, bone).landmarks
    const ids = ['condyleDistalMedial', 'condyleDistalLateral', 'condylePosteriorMedial', 'epicondyleMedial'] as const
    for (const id of ids) {
      expect(judged[id]!.confidence, id).toBeLessThan(at(id).confidence)
      expect(judged[id]!.sdMm!, id).toBeGreaterThan(at(id).sdMm!)
      expect(judged[id]!.evidence?.fitRmsMm, id).toBeGreaterThan(0.2)
    }
  })

  it('of a landmark set by hand stays high on its feature and falls when it is put elsewhere: the place stays, the scatter grows', () => {
    const set = (id: 'condyleDistalMedial' | 'epicondyleLateral' | 'notchCentre', by: Vec3) => {
      const mark = found.landmarks[id]!
      const own = { ...mark, mm: add(mark.mm, by), source: 'set' as const, confidence: 1, reason: null }
      return at(id, { ...found, landmarks: { ...found.landmarks, [id]: own } }, found)
    }
    for (const id of ['condyleDistalMedial', 'epicondyleLateral', 'notchCentre'] as const) {
      const right = set(id, [0, 0, 0])
      expect(right.confidence, id).toBeGreaterThan(0.75)
      expect(right.reason, id).toBeNull()
      const off = scale(found.frame.y, -12)
      const wrong = set(id, off)
      expect(wrong.mm).toEqual(add(found.landmarks[id]!.mm, off))
      expect(right.sdMm, id).toBe(defaultSdMm[id].sdMm)
      expect(wrong.sdMm!, id).toBeGreaterThan(2 * right.sdMm!)
      expect(confidenceWord(wrong.confidence), id).toBe('doubtful')
      expect(wrong.reason, id).toMatch(/^Set by hand, \d+\.\d mm (off|from)/)
    }
  })

  it('of a knee centre set by hand falls as it leaves both the notch and the middle of the epicondyles', () => {
    const set = (mm: number) => {
      const mark = found.landmarks.femoralKneeCentre!
      const own = {
        ...mark,
        mm: addScaled(mark.mm, found.frame.z, mm),
        source: 'set' as const,
        confidence: 1,
        reason: null,
      }
      return at('femoralKneeCentre', { ...found, landmarks: { ...found.landmarks, femoralKneeCentre: own } }, found)
    }
    const said = [0, 3.5, 10, 15].map(set)
    expect(said[0]).toMatchObject({ reason: null })
    expect(said.map(({ confidence }) => confidenceWord(confidence))).toEqual(['sure', 'fair', 'doubtful', 'doubtful'])
    expect(said[2]!.reason).toMatch(/^Set by hand, \d+\.\d mm from where the surface shows it/)
  })
})
