import { describe, expect, it } from 'vitest'
import { guessBone } from '../../src/anatomy/guess-bone.ts'
import { settleSide } from '../../src/anatomy/settle-side.ts'
import { findAnatomy } from '../../src/casefile/case-anatomy.ts'
import { newCase } from '../../src/casefile/document.ts'
import { clip } from '../../src/geometry/clip.ts'
import { mirrorMesh } from '../../src/geometry/transform.ts'
import { addScaled } from '../../src/geometry/vec.ts'
import { expectFailure, expectOk } from '../near.ts'
import { boneOf, femurOf, realMesh, tibiaOf } from './bones.ts'

/** Real tibiae cut 45 mm below the joint: by shape alone most of these came out on the wrong side. */
const files = ['bp3d/tibia_right.stl', 'hra/tibia_right.ply', 'defects/tibia_left_inward.stl']
const cut = (name: string, mirrored: boolean) => {
  const whole = tibiaOf(realMesh(name))
  const { origin, y } = whole.frame
  const mesh = expectOk(clip(realMesh(name), { point: addScaled(origin, y, -45), normal: y })).kept
  const side = whole.side === 'right' ? 'left' : 'right'
  return mirrored ? { mesh: mirrorMesh(mesh), side } : { mesh, side: whole.side }
}

describe.each(files)('%s cut 45 mm below the joint', (name) => {
  it.each([false, true])('(mirrored: %s) states no wrong side: none, or the right one', (mirrored) => {
    const { mesh, side } = cut(name, mirrored)
    const found = tibiaOf(mesh)
    expect(found.sideUnclear === true || found.side === side).toBe(true)
    expect(['unknown', side]).toContain(guessBone(boneOf(mesh)).side)
  })
})

describe('a tibia too short to tell its side', () => {
  const { mesh, side } = cut('bp3d/tibia_right.stl', false)
  const tibia = boneOf(mesh)

  it('is of the side of its femur, with a warning', () => {
    const anatomy = expectOk(findAnatomy(newCase, { femur: boneOf(realMesh('bp3d/femur_right.stl')), tibia }))
    expect(anatomy.side).toBe(side)
    expect(anatomy.tibia.side).toBe(side)
    expect(anatomy.measured.warnings.map((w) => w.message)).toContainEqual(expect.stringMatching(/tibia is too short/))
  })

  it('needs a declared side where the femur shows none either', () => {
    const femur = { ...femurOf(realMesh('bp3d/femur_right.stl')), sideUnclear: true }
    const pair = { declared: null, femur, tibia: tibiaOf(mesh), frame: 'unknown' } as const
    expectFailure(settleSide(pair), 'anatomy/side-unclear')
  })
})
