import { describe, expect, it } from 'vitest'
import { anglePaths } from '../../src/anatomy/angle-spread.ts'
import type { KneeAnatomy } from '../../src/anatomy/error-sources.ts'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import { defaultReferences, type TibiaAnatomy } from '../../src/anatomy/terms.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { addScaled } from '../../src/geometry/vec.ts'
import { boneOf, femurOf, realMesh, tibiaOf } from './bones.ts'
import { bumped } from './bumped.ts'
import { spreadsOf } from './spreads-of.ts'

const read = (mesh: Mesh): TibiaAnatomy => judgedLandmarks(boneOf(mesh).mesh, tibiaOf(mesh))

const slopeOf = (knee: KneeAnatomy, side: 'medial' | 'lateral') =>
  spreadsOf(knee)[side === 'medial' ? 'angles.slopeMedialDeg' : 'angles.slopeLateralDeg']!

// Hollows and a bump as a worn plateau has them; before, point and slope were told surely on all of them.
describe.each([
  ['bp3d', 'medial', -6, 24, 9],
  ['bp3d', 'lateral', -10, 24, 9],
  ['hra', 'medial', -10, 24, 9],
  ['hra', 'medial', -6, 24, 0],
  ['hra', 'lateral', -10, 24, -9],
] as const)(
  'a hollow in the %s tibia’s %s plateau, %s mm over %s mm, %s mm ahead of its centre',
  (donor, side, heightMm, widthMm, ahead) => {
    const extension = donor === 'bp3d' ? 'stl' : 'ply'
    const mesh = realMesh(`${donor}/tibia_right.${extension}`)
    const clean = read(mesh)
    const near = addScaled(clean[side].point, clean.frame.x, ahead)
    const worn = read(bumped(mesh, near, clean[side].normal, heightMm, widthMm))
    const id = side === 'medial' ? 'plateauMedial' : 'plateauLateral'

    it('is told at the plateau point, which is no longer sure, while the clean one is', () => {
      expect(clean.landmarks[id]).toMatchObject({ reason: null })
      expect(clean[side].unevenMm).toBeNull()
      expect(worn.landmarks[id]!.reason).toMatch(/^This plateau is uneven/)
      expect(worn.landmarks[id]!.confidence).toBeLessThanOrEqual(0.5)
      expect(worn.landmarks[id]!.sdMm!).toBeGreaterThan(1.5 * clean.landmarks[id]!.sdMm!)
    })

    it('leaves the slope an interval that reaches from the worn surface’s to the whole one’s', () => {
      const femur = femurOf(realMesh(`${donor}/femur_right.${extension}`))
      const before = slopeOf({ femur, tibia: clean }, side)
      const after = slopeOf({ femur, tibia: worn }, side)
      const middle = (before.interval[0] + before.interval[1]) / 2
      if (donor === 'hra') {
        expect(after.interval[0]).toBeLessThan(middle)
        expect(after.interval[1]).toBeGreaterThan(middle)
      }
      expect(after.budget.sd).toBeGreaterThan(3 * before.budget.sd)
      expect(after.budget.parts[0]!.source).toBe(id)
    })
  },
)

describe('a hollow so deep that the plane of the plateau comes to lie on its flank', () => {
  it.each([-9, 0])('%s mm ahead: no slope is told, and the other plateau’s lean stands in', (ahead) => {
    const mesh = realMesh('bp3d/tibia_right.stl')
    const clean = read(mesh)
    const near = addScaled(clean.medial.point, clean.frame.x, ahead)
    const worn = read(bumped(mesh, near, clean.medial.normal, -10, 24))
    expect(worn.medial.slopeUnclear).toMatch(/flank of a hollow/)
    expect(worn.lateral.slopeUnclear).toBeNull()
    expect(worn.medial.normal).toEqual(worn.lateral.normal)
    expect(worn.landmarks.plateauMedial!.confidence).toBeLessThanOrEqual(0.5)
    const knee = { femur: femurOf(realMesh('bp3d/femur_right.stl')), tibia: worn }
    const angles = anglePaths(knee, defaultReferences, true)
    expect(angles['angles.slopeMedialDeg']).toBeUndefined()
    expect(angles['angles.slopeLateralDeg']).toBeDefined()
  })
})
