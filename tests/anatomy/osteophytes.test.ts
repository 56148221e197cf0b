import { describe, expect, it } from 'vitest'
import { ldfaDeg } from '../../src/anatomy/angles.ts'
import { defaultReferences, type FemurAnatomy, type LandmarkId } from '../../src/anatomy/terms.ts'
import { addScaled, distance, scale, unit } from '../../src/geometry/vec.ts'
import { femurOf, realMesh, tibiaOf } from './bones.ts'
import { bumped } from './bumped.ts'

const ldfaOf = ({ frame, landmarks, side }: FemurAnatomy) =>
  ldfaDeg(frame, landmarks.condyleDistalMedial!.mm, landmarks.condyleDistalLateral!.mm, side)

describe('an osteophyte that stands out distally beside the contact of a condyle', () => {
  // Before narrow pieces were left out, LDFA moved by 4° to 6.5°.
  it.each([
    ['mri/distal_femur_right_2.ply', 'condyleDistalMedial'],
    ['mri/distal_femur_right_3.ply', 'condyleDistalLateral'],
  ] as const)('is left out of %s, and said to be', (file, id) => {
    const mesh = realMesh(file)
    const clean = femurOf(mesh)
    const near = addScaled(clean.landmarks[id]!.mm, clean.frame.x, 14)
    const femur = femurOf(bumped(mesh, near, scale(clean.frame.y, -1), 8, 12))
    expect(Math.abs(ldfaOf(femur) - ldfaOf(clean))).toBeLessThan(0.6)
    expect(femur.landmarks[id]!.reason).toMatch(/osteophyte/)
    expect(femur.landmarks[id]!.confidence).toBeLessThan(0.7)
  })
})

describe('an osteophyte on the roof of the notch', () => {
  it.each([
    ['bp3d/femur_right.stl', 6, 12],
    ['hra/femur_right.ply', 8, 16],
    ['other/femur_right_upside_down.stl', 4, 10],
  ] as const)('takes the knee centre of %s along, and the knee centre is doubted', (file, heightMm, widthMm) => {
    const mesh = realMesh(file)
    const clean = femurOf(mesh)
    expect(clean.landmarks.femoralKneeCentre).toMatchObject({ reason: null })
    const near = addScaled(clean.landmarks.notchCentre!.mm, clean.frame.z, 2)
    const spoiled = bumped(mesh, near, scale(clean.frame.y, -1), heightMm, widthMm)
    const femur = femurOf(spoiled)
    expect(distance(femur.landmarks.notchCentre!.mm, clean.landmarks.notchCentre!.mm)).toBeGreaterThan(2)
    for (const id of ['femoralKneeCentre', 'notchCentre'] as const) {
      expect(femur.landmarks[id]!.reason, id).toMatch(/osteophyte/)
      expect(femur.landmarks[id]!.confidence, id).toBeLessThan(0.7)
    }
    const between = femurOf(spoiled, {}, { ...defaultReferences, femoralKneeCentre: 'epicondyles' })
    expect(between.landmarks.femoralKneeCentre!.reason).toBeNull()
  })
})

describe('a hollow beside the notch', () => {
  // Before, the crest of a bent saddle was followed 40 mm out of the roof, and the whole frame with it.
  it('leaves the landmarks of hra within some millimetres, and the notch is doubted', () => {
    const mesh = realMesh('hra/femur_right.ply')
    const clean = femurOf(mesh)
    const { origin, x, y, z } = clean.frame
    const near = addScaled(addScaled(addScaled(origin, x, 0.3), y, -2.4), z, -10.1)
    const out = unit(addScaled(addScaled(scale(y, -0.93), x, 0.1), z, 0.36))
    const femur = femurOf(bumped(mesh, near, out, -7.2, 18))
    for (const [id, mark] of Object.entries(femur.landmarks))
      expect(distance(mark.mm, clean.landmarks[id as LandmarkId]!.mm), id).toBeLessThan(6)
    expect(femur.landmarks.notchCentre!.reason).toMatch(/uneven/)
  })
})

describe('a bump beside the spines', () => {
  it.each([
    ['bp3d/tibia_right.stl', -8, 0],
    ['hra/tibia_right.ply', 0, 9],
  ] as const)('that is taken for one moves the middle of %s, and the middle is doubted', (file, aside, ahead) => {
    const mesh = realMesh(file)
    const clean = tibiaOf(mesh)
    expect(clean.landmarks.spinesCentre).toMatchObject({ reason: null })
    const { x, y, z } = clean.frame
    const near = addScaled(addScaled(clean.landmarks.spinesCentre!.mm, z, aside), x, ahead)
    const tibia = tibiaOf(bumped(mesh, near, y, 10, 10))
    expect(distance(tibia.landmarks.spinesCentre!.mm, clean.landmarks.spinesCentre!.mm)).toBeGreaterThan(3)
    expect(tibia.landmarks.spinesCentre!.reason).toMatch(/perhaps a bump/)
    expect(tibia.landmarks.tibialKneeCentre!.confidence).toBeLessThan(0.4)
  })
})
