import { describe, expect, it } from 'vitest'
import { landmarksKey } from '../../src/anatomy/landmarks-key.ts'
import { signOffOf } from '../../src/anatomy/sign-off.ts'
import { landmarksAssumption } from '../../src/casefile/case-assumptions.ts'
import { femurOf, realMesh } from './bones.ts'

describe('a signature under a set of landmarks', () => {
  const { landmarks } = femurOf(realMesh('hra/femur_left.ply'))

  it('holds for the same places in any order and by any source, and for no others', () => {
    const key = landmarksKey(landmarks)
    expect(key).toMatch(/^[0-9a-f]{8}$/)
    expect(landmarksKey(Object.fromEntries(Object.entries(landmarks).reverse()))).toBe(key)
    const notch = landmarks.notchCentre!
    expect(landmarksKey({ ...landmarks, notchCentre: { ...notch, source: 'set', confidence: 0.1 } })).toBe(key)
    const moved = { ...notch, mm: [notch.mm[0] + 0.2, notch.mm[1], notch.mm[2]] as const }
    expect(landmarksKey({ ...landmarks, notchCentre: moved })).not.toBe(key)
    const { notchCentre: _gone, ...fewer } = landmarks
    expect(landmarksKey(fewer)).not.toBe(key)
  })

  it('says whether the landmarks are those that were signed, others, or none were', () => {
    expect(signOffOf(null, landmarks).state).toBe('not')
    expect(signOffOf(landmarksKey(landmarks), landmarks).state).toBe('signed')
    expect(signOffOf('00000000', landmarks).state).toBe('changed')
  })

  it('stands among the assumptions with what was set by hand, given or is doubtful, each by name', () => {
    const notch = { ...landmarks.notchCentre!, source: 'set' } as const
    const hip = { ...landmarks.hipCentre!, source: 'given' } as const
    const doubtful = { ...landmarks.epicondyleMedial!, confidence: 0.1 }
    const others = Object.fromEntries(Object.entries(landmarks).map(([id, mark]) => [id, { ...mark, confidence: 1 }]))
    const set = { ...others, notchCentre: notch, hipCentre: hip, epicondyleMedial: doubtful }
    expect(landmarksAssumption(signOffOf(null, set), set).value).toBe(
      'not signed off; set by hand: notch; given: hip centre; doubtful: epicondyle, medial',
    )
    expect(landmarksAssumption(signOffOf(landmarksKey(others), others), others).value).toBe('signed off as they stand')
  })
})
