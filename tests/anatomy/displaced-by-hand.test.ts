import { beforeAll, describe, expect, it } from 'vitest'
import { makeLeg } from '../../demo-models/leg.ts'
import { confidenceWord, sureFrom } from '../../src/anatomy/confidence-word.ts'
import { defaultSdMm } from '../../src/anatomy/landmark-sd.ts'
import type { Landmark, LandmarkId } from '../../src/anatomy/terms.ts'
import { findAnatomy, heldAnatomy } from '../../src/casefile/case-anatomy.ts'
import { type CaseDocument, newCase } from '../../src/casefile/document.ts'
import { addScaled, distance } from '../../src/geometry/vec.ts'
import { expectOk } from '../near.ts'
import { boneOf, realMesh } from './bones.ts'
import { displacedByHand, type ReadBone, readBone, setByHand } from './displaced-by-hand.ts'

// Every displacement on nine bones is in displaced.check.ts.
let bones: readonly ReadBone[]
const leg = makeLeg({}, { edgeMm: 4 })
beforeAll(() => {
  bones = [
    readBone('demo femur', leg.femur),
    readBone('demo tibia', leg.tibia),
    readBone('hra femur', realMesh('hra/femur_right.ply')),
    readBone('hra tibia', realMesh('hra/tibia_right.ply')),
  ]
}, 60_000)

const marksOf = ({ alone }: ReadBone) => Object.entries(alone.landmarks) as [LandmarkId, Landmark][]

describe('a landmark set by hand', () => {
  it('is no longer sure, and says why, beyond 2.5 standard deviations of where its surface shows it, whichever it is and whichever way', () => {
    for (const bone of bones)
      for (const row of displacedByHand(bone, [3, 8, 20])) {
        if (Math.abs(row.mm) < 2.5 * row.foundSdMm) continue
        const what = `${row.bone} ${row.id} ${row.mm} mm ${row.axis}`
        expect(row.confidence, what).toBeLessThan(sureFrom)
        expect(row.reason, what).toMatch(/^(Set by hand.* \d+\.\d mm |It lies \d+ mm from its partner)/)
        expect(row.sdMm, what).toBeGreaterThan(defaultSdMm[row.id].sdMm)
      }
  })

  it('is doubtful at 20 mm, unless the surface shows its place badly', () => {
    for (const bone of bones)
      for (const row of displacedByHand(bone, [20]))
        if (row.foundSdMm < 6) expect(row.word, `${row.bone} ${row.id} ${row.mm} ${row.axis}`).toBe('doubtful')
  })

  it('is as sure as the found one within its scatter along the surface', () => {
    for (const bone of bones)
      for (const [id, found] of marksOf(bone)) {
        if (bone.judged[id]!.confidence < sureFrom) continue
        const { x, z } = bone.alone.frame
        for (const way of id.startsWith('condylePosterior') || id === 'posteriorNotch' ? [z] : [x, z]) {
          if (/^epicondyle|^condylePosterior|^posteriorNotch|^tubercle/.test(id) && way === x) continue
          for (const sign of [1, -1]) {
            const near = setByHand(bone, id, addScaled(found.mm, way, sign * 0.6 * defaultSdMm[id].sdMm))
            expect(near.confidence, `${bone.name} ${id}`).toBeGreaterThanOrEqual(sureFrom)
            expect(near.reason, `${bone.name} ${id}`).toBeNull()
          }
        }
      }
  })
})

describe('through the whole of a case', () => {
  const meshes = { femur: boneOf(leg.femur), tibia: boneOf(leg.tibia) }
  const anatomyOf = (landmarks: CaseDocument['landmarks']) => expectOk(findAnatomy({ ...newCase, landmarks }, meshes))

  it('an ankle centre set sideways is doubted by the distance, as if it were found, set or entered', () => {
    const found = anatomyOf({})
    const { ankleCentre } = found.tibia.landmarks
    const words = [2, 4.5, 10].map((mm) => {
      const at = addScaled(ankleCentre!.mm, found.tibia.frame.z, mm)
      const { landmarks } = anatomyOf({ ankleCentre: { mm: at, source: 'set' } }).tibia
      return [confidenceWord(landmarks.ankleCentre!.confidence), landmarks.ankleCentre!.reason]
    })
    expect(words).toEqual([
      ['sure', null],
      ['fair', 'Set by hand, 4.5 mm from where the surface shows it.'],
      ['doubtful', 'Set by hand, 10.0 mm from where the surface shows it.'],
    ])
    const hip = addScaled(found.femur.landmarks.hipCentre!.mm, found.femur.frame.x, 7)
    expect(anatomyOf({ hipCentre: { mm: hip, source: 'given' } }).femur.landmarks.hipCentre).toMatchObject({
      source: 'given',
      reason: 'Entered, 7.0 mm from where the surface shows it.',
    })
  })

  it('what stands on a landmark set elsewhere is doubted with it', () => {
    const found = anatomyOf({}).tibia
    const spines = addScaled(found.landmarks.spinesCentre!.mm, found.frame.z, 12)
    const moved = anatomyOf({ spinesCentre: { mm: spines, source: 'set' } }).tibia
    const centre = moved.landmarks.tibialKneeCentre!
    expect(centre.source).toBe('found')
    expect(distance(centre.mm, spines)).toBeLessThan(1e-6)
    expect(confidenceWord(centre.confidence)).toBe('doubtful')
    expect(centre.reason).toBe('Moved 12.0 mm, by what is set by hand, from where the surface alone shows it.')
    expect(moved.foundAlone?.spinesCentre?.mm).toEqual(found.landmarks.spinesCentre!.mm)
  })

  it('a landmark moved a second time is held against where it was found, not against where the hand left it', () => {
    const found = anatomyOf({})
    const once = addScaled(found.tibia.landmarks.ankleCentre!.mm, found.tibia.frame.z, 10)
    const again = addScaled(once, found.tibia.frame.z, 1)
    const document: CaseDocument = { ...newCase, landmarks: { ankleCentre: { mm: again, source: 'set' } } }
    const held = heldAnatomy(document, anatomyOf({ ankleCentre: { mm: once, source: 'set' } }))
    expect(held.tibia.landmarks.ankleCentre!.reason).toBe('Set by hand, 11.0 mm from where the surface shows it.')
  })
})
