import { describe, expect, it } from 'vitest'
import { assess, assessFully } from '../../src/assess.ts'
import type { Bones } from '../../src/casefile/case-anatomy.ts'
import { type CaseDocument, newCase } from '../../src/casefile/document.ts'
import { setPath } from '../../src/casefile/set-path.ts'
import type { Findings } from '../../src/findings.ts'
import { makeBone } from '../../src/geometry/bone.ts'
import { compose, type Rigid, rotationAbout } from '../../src/geometry/rigid.ts'
import { mapMesh, mirrorMesh } from '../../src/geometry/transform.ts'
import { distance, toRad } from '../../src/geometry/vec.ts'
import { recipeNames } from '../../src/planning/terms.ts'
import { findingsJson } from '../../src/report/findings-json.ts'
import { spoiling } from '../../src/report/spoiled.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { bonesOf, bp3d, hra } from './shared-bones.ts'

const changed = (document: CaseDocument, path: string, value: string | number): CaseDocument =>
  expectOk(setPath(document, path, value))

function leaves(value: unknown, path: string, visit: (path: string, leaf: unknown) => void): void {
  if (Array.isArray(value))
    value.forEach((item: unknown, i) => {
      const id = typeof item === 'object' && item !== null && 'id' in item ? String(item.id) : String(i)
      leaves(item, `${path}.${id}`, visit)
    })
  else if (typeof value === 'object' && value !== null)
    for (const [key, item] of Object.entries(value)) leaves(item, path === '' ? key : `${path}.${key}`, visit)
  else visit(path, value)
}

function expectWellFormed(findings: Findings): void {
  const uncovered: string[] = []
  leaves(findingsJson(findings), '', (path, leaf) => {
    if (typeof leaf === 'number') expect(Number.isFinite(leaf), path).toBe(true)
    if (leaf === null && spoiling(findings.warnings, path).length === 0) uncovered.push(path)
    expect(leaf, path).not.toBeUndefined()
  })
  expect(uncovered, 'every withheld number is named by a warning').toEqual([])
  expect(JSON.parse(JSON.stringify(findings))).toEqual(findings)
}

const real: readonly [string, () => Bones, 'left' | 'right'][] = [
  ['bp3d', bp3d, 'right'],
  ['hra right', () => hra('right'), 'right'],
  ['hra left', () => hra('left'), 'left'],
]

describe('assess on whole real bones, no landmark set', () => {
  for (const [name, bones, side] of real)
    it(`gives plausible findings on ${name}`, () => {
      const findings = expectOk(assess(newCase, bones()))
      expectWellFormed(findings)
      expect(findings.side).toBe(side)
      expect(findings.sideSource).toBe('shape')
      expect(findings.angles.ldfaDeg).toBeGreaterThanOrEqual(80)
      expect(findings.angles.ldfaDeg).toBeLessThanOrEqual(90)
      expect(findings.angles.mptaDeg).toBeGreaterThanOrEqual(80)
      expect(findings.angles.mptaDeg).toBeLessThanOrEqual(92)
      expect(findings.sites.map((s) => s.id)).toEqual([
        'tibia-medial',
        'tibia-lateral',
        'femur-distal-medial',
        'femur-distal-lateral',
        'femur-posterior-medial',
        'femur-posterior-lateral',
      ])
      for (const site of findings.sites) {
        expect(site.pieceMm, site.id).toBeGreaterThan(0)
        expectNear(site.totalMm, site.pieceMm + site.kerfMm + site.wornMm, { absMm: 1e-9, because: 'bookkeeping' })
      }
      expect(findings.stance.map((s) => s.pose)).toEqual(['feet-together', 'natural', 'one-leg', 'own'])
      expect(findings.loading).toHaveLength(8)
    })

  it('finds the head centres of the published bones: bp3d and hra right', () => {
    const heads = [
      [bp3d(), [-81.3, -92.9, 820.1], 23.1],
      [hra('right'), [-112.8, 14.8, -59], 24.6],
    ] as const
    for (const [bones, centre, radius] of heads) {
      const { landmarks, fits } = expectOk(assess(newCase, bones))
      expect(distance(landmarks.hipCentre!.mm, centre)).toBeLessThan(1.5)
      expectNear(fits.femoralHead!.radiusMm, radius, { absMm: 0.5, because: 'printed to 0.1 mm, another patch' })
    }
  })

  it('gives every recipe, well formed, on every leg', () => {
    for (const [name, bones] of real)
      for (const recipe of recipeNames) {
        const findings = assess({ ...newCase, recipe }, bones())
        expect(findings.ok, `${name} ${recipe}`).toBe(true)
        expectWellFormed(expectOk(findings))
      }
  })

  it('gives a medial partial plan, well formed: one compartment loaded, the other left native', () => {
    for (const [name, bones] of real) {
      const result = assess({ ...newCase, procedure: 'medial-partial' }, bones())
      expect(result.ok ? '' : result.failure.message, name).toBe('')
      const findings = expectOk(result)
      expectWellFormed(findings)
      expect(findings.sites.every((site) => site.id.endsWith('medial'))).toBe(true)
      for (const load of findings.loading) expect(load.bearing?.lateral ?? null).toBeNull()
    }
  })

  it('withholds or bounds volumes of open bones, withholds the pose of bones that share no frame, and says so', () => {
    const defects = expectOk(
      assess(newCase, bonesOf(['defects', 'femur_left_holes.ply'], ['defects', 'tibia_left_inward.stl'])),
    )
    expectWellFormed(defects)
    expect(defects.bones.femur.closed).toBe(false)
    if (defects.bones.femur.volumeMm3 !== null) expect(defects.bones.femur.volumeBoundMm3).toBeGreaterThan(0)
    expect(defects.bones.tibia.volumeMm3).toBeGreaterThan(0)
    expect(defects.angles.hkaDeg).toBeNull()
    expect(defects.angles.mptaDeg).not.toBeNull()
  })
})

describe('assess', () => {
  it('stops with a failure when the declared side contradicts the shape, and when two sides are mixed', () => {
    expectFailure(assess({ ...newCase, side: 'left' }, bp3d()), 'anatomy/side-contradiction')
    const mixed = bonesOf(['hra', 'femur_left.ply'], ['hra', 'tibia_right.ply'])
    expectFailure(assess(newCase, mixed), 'anatomy/side-contradiction')
    const { femur, tibia } = bp3d()
    expectFailure(assess(newCase, { femur: tibia, tibia: femur }), 'anatomy/not-a-femur')
  })

  it('gives a mirrored leg the same numbers on the other side', () => {
    const { femur, tibia } = bp3d()
    const mirrored = {
      femur: expectOk(makeBone(mirrorMesh(femur.mesh))),
      tibia: expectOk(makeBone(mirrorMesh(tibia.mesh))),
    }
    const right = expectOk(assess(newCase, bp3d()))
    const left = expectOk(assess(newCase, mirrored))
    expect(left.side).toBe('left')
    const exact = { abs: 1e-6, because: 'mirror images; only the order of triangles in the tree differs' }
    for (const key of ['ldfaDeg', 'mptaDeg', 'hkaDeg', 'slopeMedialDeg'] as const)
      expectNear(left.angles[key]!, right.angles[key]!, exact)
    right.stance.forEach((pose, i) => {
      for (const key of ['tibiaLeanDeg', 'trayToFloorCoronalDeg', 'trayToFloorSagittalDeg', 'kneeOffsetMm'] as const)
        expectNear(left.stance[i]![key], pose[key], exact)
    })
    right.loading.forEach((load, i) => {
      for (const key of ['shearToCompression', 'shearCoronal', 'shearSagittal'] as const)
        expectNear(left.loading[i]![key], load[key], exact)
    })
  })

  it('does not care where each file lies', () => {
    const { femur, tibia } = hra('right')
    const motion: Rigid = compose(
      { rotation: rotationAbout([0.2, 0.7, -0.4], toRad(131)), translation: [100, 2000, -40] },
      { rotation: rotationAbout([1, 0, 0], toRad(-77)), translation: [0, 0, 0] },
    )
    const moved = {
      femur: expectOk(makeBone(mapMesh(femur.mesh, motion))),
      tibia: expectOk(makeBone(mapMesh(tibia.mesh, motion))),
    }
    const here = expectOk(assess(newCase, hra('right')))
    const there = expectOk(assess(newCase, moved))
    const close = { absDeg: 0.01, because: 'rigid motion: angles within 0.01° (asked for)' }
    expect(there.angles.hkaDeg === null).toBe(here.angles.hkaDeg === null)
    for (const key of ['ldfaDeg', 'mptaDeg', 'arithmeticHkaDeg', 'slopeMedialDeg', 'slopeLateralDeg'] as const)
      expectNear(there.angles[key]!, here.angles[key]!, close)
    here.stance.forEach((pose, i) => {
      for (const key of ['tibiaLeanDeg', 'trayToFloorCoronalDeg', 'trayToFloorSagittalDeg'] as const)
        expectNear(there.stance[i]![key], pose[key], close)
    })
    expectNear(there.volumes.tibiaRemovedMm3!, here.volumes.tibiaRemovedMm3!, {
      rel: 1e-3,
      because: 'angles move by up to 0.01°',
    })
  })

  it('keeps what a change does not touch: a stance change leaves anatomy and plan alone', () => {
    const bones = bp3d()
    const before = expectOk(assessFully(newCase, bones))
    const after = expectOk(assessFully(changed(newCase, 'stance.footRotationDeg', 10), bones))
    expect(after.anatomy).toBe(before.anatomy)
    expect(after.plan).toBe(before.plan)
    expect(after.findings.stance).not.toEqual(before.findings.stance)
    const cut = expectOk(assessFully(changed(newCase, 'cuts.tibia.varusDeg', 3), bones))
    expect(cut.anatomy).toBe(before.anatomy)
    expect(cut.plan).not.toBe(before.plan)
  })

  it('gives the same findings twice, remembered or not', () => {
    const fresh = hra('left')
    const again = { femur: expectOk(makeBone(fresh.femur.mesh)), tibia: expectOk(makeBone(fresh.tibia.mesh)) }
    expect(expectOk(assess(newCase, again))).toEqual(expectOk(assess(newCase, fresh)))
  })

  it('follows a set cut: the tray stands at its angle less the lean of the tibia, seen through the tibia’s own rotation', () => {
    for (const varus of [-3, 0, 3, 6]) {
      let document = changed(newCase, 'cuts.tibia.varusDeg', varus)
      document = changed(document, 'cuts.tibia.slopeDeg', 0)
      const { stance, angles } = expectOk(assess(document, hra('right')))
      const turn = Math.cos(toRad(angles.kneePose?.externalRotationDeg ?? 0))
      for (const pose of stance) {
        const [v, lean] = [toRad(varus), toRad(pose.tibiaLeanDeg)]
        const expected = Math.asin(Math.sin(v) * Math.cos(lean) - Math.cos(v) * Math.sin(lean) * turn)
        expectNear(pose.trayToFloorCoronalDeg, (expected * 180) / Math.PI, {
          absDeg: 0.02,
          because: 'the knee axis, not the tibia’s own, is what faces forward; femur and tibia lean differently',
        })
      }
    }
  })
})
