import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { readMesh } from '../../src/formats/read.ts'
import { principalExtents } from '../../src/geometry/extents.ts'
import { mapMesh } from '../../src/geometry/transform.ts'
import { guessUnit, type LengthUnit, MM_PER_UNIT, unitChoices } from '../../src/geometry/units.ts'
import type { Vec3 } from '../../src/geometry/vec.ts'
import { box, randomRigid } from '../fixtures/shapes.ts'
import { expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const units = Object.keys(MM_PER_UNIT) as LengthUnit[]
const extentsOf = (folder: string, name: string): Vec3 =>
  principalExtents(
    expectOk(readMesh(new Uint8Array(readFileSync(sharedPath('bones', folder, name))), name)).mesh.positions,
  )
const inUnit = (extents: Vec3, unit: LengthUnit): Vec3 => [
  extents[0] / MM_PER_UNIT[unit],
  extents[1] / MM_PER_UNIT[unit],
  extents[2] / MM_PER_UNIT[unit],
]

describe('the unit of a surface', () => {
  const whole = [
    ['bp3d', 'femur_right.stl', 'femur'],
    ['bp3d', 'tibia_right.stl', 'tibia'],
    ['hra', 'femur_left.ply', 'femur'],
    ['hra', 'tibia_left.ply', 'tibia'],
    ['other', 'femur_right_upside_down.stl', 'femur'],
    ['other', 'femur_right_coarse.ply', 'femur'],
    ['other', 'tibia_right_coarse.ply', 'tibia'],
  ] as const

  it.each(whole)('is recognised on a whole bone in each of the four units: %s/%s', (folder, name, bone) => {
    const extents = extentsOf(folder, name)
    for (const unit of units) {
      expect(guessUnit(inUnit(extents, unit))).toBe(unit)
      expect(guessUnit(inUnit(extents, unit), bone)).toBe(unit)
    }
  })

  it('is mm on every bone of ../shared/bones, which are all in mm', () => {
    for (const folder of ['bp3d', 'hra', 'mri', 'other', 'defects']) {
      for (const name of readdirSync(sharedPath('bones', folder))) {
        if (/\.(stl|ply)$/.test(name)) expect(guessUnit(extentsOf(folder, name)), name).toBe('mm')
      }
    }
  })

  it('is not guessed where two units fit: a knee part in inches may be a patella in cm, unless the bone is known', () => {
    const part = inUnit(extentsOf('mri', 'distal_femur_right_2.ply'), 'inch')
    expect([guessUnit(part), guessUnit(part, 'femur')]).toEqual(['unknown', 'inch'])
  })

  it('is not guessed where none fits: two whole legs, a pebble of 2 cm, a flat sheet, nothing', () => {
    for (const extents of [
      [900, 400, 300],
      [20, 19, 18],
      [440, 2, 1],
      [0, 0, 0],
    ] as const) {
      expect(guessUnit(extents)).toBe('unknown')
    }
  })
})

describe('the units to choose from', () => {
  it('are always the four, each with the size it would give, and the plausible ones marked', () => {
    const choices = unitChoices([44.2, 8.9, 6.4], 'femur')
    expect(choices.map((c) => [c.unit, c.plausible])).toEqual([
      ['mm', false],
      ['cm', true],
      ['m', false],
      ['inch', false],
    ])
    expectNear(choices[3]!.extentsMm[0], 1122.68, { absMm: 1e-9, because: '44.2 × 25.4' })
  })
})

describe('principal extents', () => {
  it('are the same however the body lies', () => {
    const body = box([0, 0, 0], [300, 80, 60])
    for (let seed = 1; seed <= 20; seed++) {
      const extents = principalExtents(mapMesh(body, randomRigid(seed)).positions)
      ;[300, 80, 60].forEach((mm, i) => {
        expectNear(extents[i]!, mm, { absMm: 1e-9, because: 'rounding of a rotation' })
      })
    }
  })
})
