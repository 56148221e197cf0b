import { expect, it } from 'vitest'
import { findAnatomy } from '../../src/casefile/case-anatomy.ts'
import { openCase } from '../../src/cli/case-source.ts'
import { addScaled, type Vec3 } from '../../src/geometry/vec.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { record } from './recorder.ts'

const bones = {
  femur: sharedPath('bones', 'other', 'femur_right_coarse.ply'),
  tibia: sharedPath('bones', 'other', 'tibia_right_coarse.ply'),
}

it('--drive lays a cut by a plane or axis of the user’s own', async () => {
  const { document, bones: opened } = expectOk(await openCase(undefined, bones))
  const { tibia, femur } = expectOk(findAnatomy(document, opened))
  const through = addScaled(tibia.lateral.point, tibia.frame.y, -9)
  const plane = `tibia=plane:${[...through, ...tibia.frame.y].join(',')}`
  const up = femur.frame.y.map((v) => 2 * v) as unknown as Vec3
  const axis = `femur-distal=axis:${up.join(',')}`
  const driven = expectOk(await openCase(undefined, { ...bones, drive: [plane, axis] })).document.cuts
  const exact = { absDeg: 1e-9, because: 'the shape is square to the mechanical axis' }
  expectNear(driven.tibia.varusDeg!, 0, exact)
  expectNear(driven.tibia.slopeDeg!, 0, exact)
  expectNear(driven.tibia.depthMm!, 9, { absMm: 1e-9, because: 'the plane lies 9 mm below the lateral plateau point' })
  expectNear(driven.femur.valgusDeg!, 0, exact)
  expectNear(driven.femur.flexionDeg!, 0, exact)
  expect(driven.femur.distalMm).toBe(null)
  const lying = await openCase(undefined, { ...bones, drive: [`tibia=axis:${tibia.frame.x.join(',')}`] })
  expectFailure(lying, 'case/out-of-range')
}, 60_000)

it('--drive that is no shape is wrong usage', async () => {
  for (const text of ['tibia=plane:1,2,3', 'femur-lateral=axis:0,1,0', 'tibia=axis:0,0,0', 'tibia=axis:a,b,c']) {
    const { code } = await record('plan', '--femur', bones.femur, '--tibia', bones.tibia, '--drive', text)
    expect(code).toBe(2)
  }
})

it('level answers with the cut, both shear ratios, the spacing and whether the limits allow it', async () => {
  const { code, out } = await record('level', '--femur', bones.femur, '--tibia', bones.tibia, '--json')
  expect(code).toBe(0)
  const level = JSON.parse(out)
  expect(level).toMatchObject({ schema: 'floorline.level/1', pose: 'feet-together', spacingSource: 'assumed' })
  expectNear(level.trayToFloorCoronalDeg, 0, { absDeg: 1e-5, because: 'that is what level means' })
  for (const key of ['shearVertical', 'shearTibialAxis', 'trayToFloorSagittalDeg'])
    expect(level[key]).toBeTypeOf('number')
  expect(level.limitsAllow).toBeTypeOf('boolean')
}, 60_000)
