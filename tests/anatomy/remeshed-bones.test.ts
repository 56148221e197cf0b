import { describe, expect, it } from 'vitest'
import { noisy } from '../../demo-models/variants.ts'
import { realMesh } from './bones.ts'
import { inTriangles, rattled, subdivided } from './remeshed.ts'
import { femurMoves, type Moves, tibiaMoves } from './remeshed-bones.ts'

function expectStill(moves: Moves, anglesDeg: number, pointsMm: number) {
  expect(moves.sameSide).toBe(true)
  for (const [name, value] of Object.entries(moves.anglesDeg)) expect(value, name).toBeLessThan(anglesDeg)
  for (const [id, value] of Object.entries(moves.pointsMm)) expect(value, id).toBeLessThan(pointsMm)
}

/** The long run over every real bone, both decimations and more seeds is remeshed-bones.check.ts. */
describe('a real bone, processed differently', () => {
  it.each(['bp3d/femur_right.stl', 'hra/femur_right.ply'])('%s in half its triangles keeps LDFA and points', (file) => {
    const mesh = realMesh(file)
    expectStill(femurMoves(mesh, inTriangles(mesh, mesh.triangles.length / 6)), 0.5, 1.5)
  })

  it('a femur subdivided keeps LDFA and points', () => {
    const mesh = realMesh('bp3d/femur_right.stl')
    expectStill(femurMoves(mesh, subdivided(mesh)), 0.1, 0.5)
  })

  it.each(['bp3d/tibia_right.stl', 'defects/tibia_left_inward.stl'])(
    '%s in half its triangles keeps MPTA, slopes and points',
    (file) => {
      const mesh = realMesh(file)
      expectStill(tibiaMoves(mesh, inTriangles(mesh, mesh.triangles.length / 6)), 1, 1.5)
    },
  )

  it('a truncated femur with osteophytes is found under 0.3 mm of noise', () => {
    const mesh = realMesh('mri/distal_femur_right_1.ply')
    const { sameSide, anglesDeg, pointsMm } = femurMoves(mesh, noisy(mesh, 0.3, 2))
    expect(sameSide).toBe(true)
    expect(anglesDeg['ldfa']).toBeLessThan(0.5)
    expect(pointsMm.notchCentre).toBeLessThan(1.5)
    expect(pointsMm.epicondyleLateral).toBeLessThan(1.5)
    expect(pointsMm.epicondyleMedial).toBeLessThan(1.5)
  })

  it.each(['hra/femur_right.ply', 'other/femur_right_upside_down.stl'])(
    '%s, whose triangles are 4 mm long, keeps LDFA and points under 0.3 mm of noise',
    (file) => {
      const mesh = realMesh(file)
      expectStill(femurMoves(mesh, noisy(mesh, 0.3, 1)), 0.5, 1.5)
    },
  )

  it('a tibia whose lateral spine is hardly one keeps its knee centre under noise that takes it away', () => {
    const mesh = realMesh('hra/tibia_right.ply')
    const { sameSide, pointsMm } = tibiaMoves(mesh, noisy(mesh, 0.3, 3))
    expect(sameSide).toBe(true)
    expect(pointsMm.spinesCentre).toBeLessThan(1.5)
    expect(pointsMm.tibialKneeCentre).toBeLessThan(1.5)
  })

  it.each([
    ['bp3d/tibia_right.stl', noisy],
    ['hra/tibia_right.ply', rattled],
  ] as const)('%s keeps its tubercle on a ridge as level as noise is high', (file, noise) => {
    const mesh = realMesh(file)
    for (const seed of [1, 2, 3]) {
      const { pointsMm } = tibiaMoves(mesh, noise(mesh, 0.3, seed))
      expect(pointsMm.tubercle, `seed ${seed}`).toBeLessThan(1.5)
      expect(pointsMm.tubercleMedialThird, `seed ${seed}`).toBeLessThan(1.5)
    }
  })
})
