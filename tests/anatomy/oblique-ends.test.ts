import { describe, expect, it } from 'vitest'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import type { FemurAnatomy, TibiaAnatomy } from '../../src/anatomy/terms.ts'
import { clip } from '../../src/geometry/clip.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { addScaled, dot, reject, toRad, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { expectOk } from '../near.ts'
import { boneOf, femurOf, realMesh, tibiaOf } from './bones.ts'

/** The knee's end of a bone cut through at `mm` along its axis (negative: below the joint), leaning by `deg` towards the unit `towards`. */
function cutAcross(mesh: Mesh, { frame }: FemurAnatomy | TibiaAnatomy, mm: number, deg: number, towards: Vec3): Mesh {
  const away = Math.sign(mm)
  const normal = unit(addScaled(frame.y, unit(reject(towards, frame.y)), Math.tan(toRad(deg))))
  const inward: Vec3 = [-away * normal[0], -away * normal[1], -away * normal[2]]
  return expectOk(clip(mesh, { point: addScaled(frame.origin, frame.y, mm), normal: inward })).kept
}

const cosine = (deg: number) => Math.cos(toRad(deg))

const wholes = {
  femora: {
    'bp3d/femur_right.stl': femurOf(realMesh('bp3d/femur_right.stl')),
    'hra/femur_left.ply': femurOf(realMesh('hra/femur_left.ply')),
  },
  tibia: tibiaOf(realMesh('hra/tibia_left.ply')),
} as const

describe('a bone cut off obliquely stands on its shaft and not on the cut', () => {
  const mesh = realMesh('hra/tibia_left.ply')
  const { frame, side } = wholes.tibia
  it.each([
    [-120, 27, 'to its front', frame.x],
    [-80, -22, 'to its side', frame.z],
  ] as const)('a tibia at %d mm, leaning %d° %s', (mm, deg, _words, towards) => {
    const part = tibiaOf(cutAcross(mesh, wholes.tibia, mm, deg, towards))
    expect(part).toMatchObject({ truncated: true, side })
    // What is left of the shaft leans up to 8° to the mechanical axis on these bones.
    expect(dot(part.frame.y, frame.y)).toBeGreaterThan(cosine(8))
    expect(dot(part.frame.x, frame.x)).toBeGreaterThan(cosine(10))
  })

  it('a femur at 100 mm, leaning 22° to its side', () => {
    const whole = wholes.femora['bp3d/femur_right.stl']
    const part = femurOf(cutAcross(realMesh('bp3d/femur_right.stl'), whole, 100, 22, whole.frame.z))
    expect(part).toMatchObject({ truncated: true, side: whole.side })
    expect(dot(part.frame.y, whole.frame.y)).toBeGreaterThan(cosine(12))
    expect(dot(part.frame.x, whole.frame.x)).toBeGreaterThan(cosine(12))
  })
})

describe('a bone that lacks one end', () => {
  it.each([
    ['bp3d/femur_right.stl', 22, -0.5],
    ['hra/femur_left.ply', 0, -3],
  ] as const)('%s without its head, or with half of it, is a femur without a hip', (file, mm, lean) => {
    const whole = wholes.femora[file]
    const { frame, side } = whole
    const lateral: Vec3 = side === 'right' ? frame.z : [-frame.z[0], -frame.z[1], -frame.z[2]]
    const cut = { point: addScaled(whole.head!.centre, lateral, mm), normal: unit(addScaled(lateral, frame.y, lean)) }
    const found = femurOf(expectOk(clip(realMesh(file), cut)).kept)
    expect(found).toMatchObject({ side, truncated: true, head: null })
    expect(dot(found.frame.y, frame.y)).toBeGreaterThan(cosine(8))
  })

  it('cut off above the ankle, where it widens already, is a tibia without an ankle', () => {
    const { frame, side } = wholes.tibia
    const found = tibiaOf(cutAcross(realMesh('hra/tibia_left.ply'), wholes.tibia, -300, 0, frame.x))
    expect(found).toMatchObject({ side, truncated: true })
    expect(found.landmarks.ankleCentre).toBeUndefined()
  })

  it('which shows too little shaft for an axis doubts every landmark found about it, and says why', () => {
    const part = cutAcross(realMesh('hra/tibia_left.ply'), wholes.tibia, -58, 22, wholes.tibia.frame.x)
    const { landmarks } = judgedLandmarks(boneOf(part).mesh, tibiaOf(part))
    for (const id of ['plateauMedial', 'plateauLateral', 'tibialKneeCentre', 'tubercleMedialThird'] as const) {
      expect(landmarks[id]!.confidence).toBeLessThan(0.4)
      expect(landmarks[id]!.reason).toMatch(/the axis of so short a piece may lie 20° off/)
    }
  })
})
