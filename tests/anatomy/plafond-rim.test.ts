import { expect, it } from 'vitest'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import { boneOf, realMesh, tibiaOf } from './bones.ts'

const ankleOf = (file: string) =>
  judgedLandmarks(boneOf(realMesh(file)).mesh, tibiaOf(realMesh(file))).landmarks.ankleCentre!

it('an ankle whose joint surface just hangs together with its rim is doubted, and says why; another is sure', () => {
  const doubted = ankleOf('defects/tibia_left_inward.stl')
  expect(doubted.confidence).toBeLessThan(0.75)
  expect(doubted.reason).toMatch(/runs into its rim/)
  expect(ankleOf('hra/tibia_left.ply')).toMatchObject({ reason: null })
})
