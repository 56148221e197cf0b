import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import type { LandmarkId } from '../../src/anatomy/terms.ts'
import { assessFully } from '../../src/assess.ts'
import { boneFromBytes } from '../../src/casefile/bone-from-bytes.ts'
import { findAnatomy } from '../../src/casefile/case-anatomy.ts'
import { type CaseDocument, newCase } from '../../src/casefile/document.ts'
import { addScaled } from '../../src/geometry/vec.ts'
import { expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const open = (path: string) => expectOk(boneFromBytes(readFileSync(sharedPath(path)), path, 1)).bone
const bones = { femur: open('bones/hra/femur_right.ply'), tibia: open('bones/hra/tibia_right.ply') }
const found = expectOk(findAnatomy(newCase, bones))
const landmarks = { ...found.femur.landmarks, ...found.tibia.landmarks }

test('with nothing set, holding the landmarks gives what the finder gave', () => {
  const held = expectOk(assessFully(newCase, bones, [], 'live', found)).anatomy
  for (const [name, deg] of Object.entries(held.measured.angles))
    if (typeof deg === 'number')
      expectNear(deg, found.measured.angles[name as 'ldfaDeg']!, {
        absDeg: 1e-3,
        because: 'the finder stops when its frame moves by less than 1e-7',
      })
})

test('a landmark in the hand moves the angles as the finder then says, before it looks afresh', () => {
  const moves: readonly (readonly [LandmarkId, 'ldfaDeg' | 'mptaDeg', number])[] = [
    ['condyleDistalMedial', 'ldfaDeg', 1],
    ['ankleCentre', 'mptaDeg', 3],
  ]
  for (const [id, angle, mm] of moves) {
    const { y, z } = (id.startsWith('condyle') ? found.femur : found.tibia).frame
    const across = id === 'ankleCentre' ? z : y
    const document: CaseDocument = {
      ...newCase,
      landmarks: { [id]: { mm: addScaled(landmarks[id]!.mm, across, mm), source: 'set' } },
    }
    const held = expectOk(assessFully(document, bones, [], 'live', found)).anatomy.measured.angles[angle]!
    const full = expectOk(findAnatomy(document, bones)).measured.angles[angle]!
    const before = found.measured.angles[angle]!
    expect(Math.abs(held - before), `${id} moves ${angle}`).toBeGreaterThan(0.3)
    expectNear(held, full, { absDeg: 0.35, because: `${id}: the other landmarks are not read in the moved frame yet` })
  }
})
