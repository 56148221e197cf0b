import { describe, expect, it } from 'vitest'
import { femoralShape } from '../../src/anatomy/femoral-shape.ts'
import { defaultReferences, type FemurAnatomy } from '../../src/anatomy/terms.ts'
import { clip } from '../../src/geometry/clip.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { addScaled, scale, type Vec3 } from '../../src/geometry/vec.ts'
import { expectOk } from '../near.ts'
import { boneOf, femurOf, realMesh, tibiaOf } from './bones.ts'
import { spreadsOf } from './spreads-of.ts'

const kept = (mesh: Mesh, point: Vec3, normal: Vec3): Mesh => expectOk(clip(mesh, { point, normal })).kept
const shaped = (mesh: Mesh): FemurAnatomy => {
  const femur = femurOf(mesh)
  return { ...femur, shape: femoralShape(boneOf(mesh), femur) }
}
const againstShaft = { references: { ...defaultReferences, slopeAxis: 'proximal-shaft' } } as const

describe('what is told against the axis of a shaft that the scan cuts off', () => {
  it.each([
    ['bp3d/tibia_right.stl', 'bp3d/femur_right.stl'],
    ['hra/tibia_right.ply', 'hra/femur_right.ply'],
    ['defects/tibia_left_inward.stl', 'hra/femur_left.ply'],
  ] as const)(
    'slopes of %s have the whole bone’s within their intervals, which narrow as more is shown',
    (file, femoral) => {
      const mesh = realMesh(file)
      const femur = femurOf(realMesh(femoral))
      const whole = tibiaOf(mesh)
      const truth = spreadsOf({ femur, tibia: whole }, 0.25, againstShaft)
      expect(whole.shaftTiltDeg).toBeUndefined()
      const widths = [70, 85, 100, 130].map((mm) => {
        const below = addScaled(whole.frame.origin, whole.frame.y, -mm)
        const tibia = tibiaOf(kept(mesh, below, whole.frame.y))
        const found = spreadsOf({ femur, tibia }, 0.25, againstShaft)
        for (const path of ['angles.slopeMedialDeg', 'angles.slopeLateralDeg']) {
          const [low, high] = found[path]!.interval
          const own = truth[path]!.interval
          expect(low, `${path} at ${mm} mm`).toBeLessThan((own[0] + own[1]) / 2)
          expect(high, `${path} at ${mm} mm`).toBeGreaterThan((own[0] + own[1]) / 2)
        }
        const { budget } = found['angles.slopeMedialDeg']!
        if (mm === 70) expect(budget.parts[0]!.source).toBe('cutShaft')
        return budget.sd
      })
      expect(widths).toEqual(widths.toSorted((a, b) => b - a))
    },
  )

  it.each(['bp3d/femur_right.stl', 'other/femur_right_upside_down.stl'])(
    'the posterior distal femoral angle of %s as well',
    (file) => {
      const mesh = realMesh(file)
      const whole = shaped(mesh)
      const tibia = tibiaOf(realMesh('bp3d/tibia_right.stl'))
      const truth = spreadsOf({ femur: whole, tibia })['angles.pdfaDeg']!.interval
      for (const mm of [100, 130, 180]) {
        const above = addScaled(whole.frame.origin, whole.frame.y, mm)
        const femur = shaped(kept(mesh, above, scale(whole.frame.y, -1)))
        const [low, high] = spreadsOf({ femur, tibia })['angles.pdfaDeg']!.interval
        expect(low, `${mm} mm`).toBeLessThan((truth[0] + truth[1]) / 2)
        expect(high, `${mm} mm`).toBeGreaterThan((truth[0] + truth[1]) / 2)
      }
    },
  )
})
