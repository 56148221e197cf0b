import { describe, expect, test } from 'vitest'
import { isClosed } from '../../src/geometry/closed.ts'
import { volume } from '../../src/geometry/measure.ts'
import { coordinatesOf, legAxes } from '../../src/planning/leg-axes.ts'
import { pieces } from '../../src/planning/pieces.ts'
import { type PlanInput, planCuts } from '../../src/planning/plan.ts'
import { recipeNames } from '../../src/planning/terms.ts'
import { expectNear, expectOk } from '../near.ts'
import { choicesWith, wornBy } from './demo-input.ts'
import { realInput } from './real-input.ts'
import { thicknessByRay } from './thickness-by-ray.ts'

// BodyParts3D (CC BY-SA 2.1 JP) and 3D Reference Organ for Knee, Female, v1.1 (CC BY 4.0): see ../shared/bones/README.md.
describe.each([
  ['bp3d right', 'bp3d/femur_right.stl', 'bp3d/tibia_right.stl'],
  ['hra right', 'hra/femur_right.ply', 'hra/tibia_right.ply'],
  ['hra left', 'hra/femur_left.ply', 'hra/tibia_left.ply'],
])('on real bones, %s', (_name, femurFile, tibiaFile) => {
  let known: PlanInput | null = null
  const input = (): PlanInput => {
    known ??= realInput(femurFile, tibiaFile)
    return known
  }
  const planned = (recipe: (typeof recipeNames)[number]) =>
    expectOk(planCuts({ ...input(), choices: choicesWith({ recipe }) }))

  test('every recipe takes bone at every site', () => {
    for (const recipe of recipeNames) {
      const { sites } = planned(recipe)
      expect(sites).toHaveLength(6)
      for (const site of sites) {
        expect(site.distanceMm, `${recipe} ${site.id}`).toBeGreaterThan(0)
        expect(site.pieceMm, `${recipe} ${site.id}`).toBeGreaterThan(0)
      }
    }
  })

  test('the kinematic recipe leaves no difference', () => {
    for (const site of planned('kinematic').sites)
      expectNear(site.differenceMm, 0, { absMm: 1e-8, because: 'solved to rounding' })
  })

  test('rays through the removed solids measure the kinematic thickness again, worn or not', () => {
    for (const wear of [wornBy(0, 0), wornBy(3, 1)]) {
      const plan = expectOk(planCuts({ ...input(), choices: choicesWith({ wear }) }))
      for (const site of plan.sites) {
        expectNear(site.differenceMm, 0, { absMm: 0.05, because: 'the issue asks for 0.05 mm' })
        expectNear(thicknessByRay(input(), plan, site.id, site.point), site.distanceMm, {
          absMm: 0.05,
          because: `${site.id}: two ways to one length`,
        })
      }
    }
  })

  test('the restricted recipe holds its limits to 1e-9', () => {
    const { after } = planned('restricted')
    expect(Math.abs(after.hkaDeg! - 180)).toBeLessThanOrEqual(3 + 1e-9)
    for (const deg of [after.ldfaDeg, after.mptaDeg]) {
      expect(deg).toBeGreaterThanOrEqual(85 - 1e-9)
      expect(deg).toBeLessThanOrEqual(95 + 1e-9)
    }
  })

  test('pieces and kept bones are closed, lose nothing, and no femoral piece reaches above the block', () => {
    const { femurBone, tibiaBone, femur } = input()
    const axes = legAxes(femur.frame, femur.side)
    for (const recipe of recipeNames) {
      const plan = planned(recipe)
      const made = expectOk(pieces(plan, { femur: femurBone, tibia: tibiaBone }))
      for (const piece of made) expect(isClosed(piece.mesh), `${recipe} ${piece.id}`).toBe(true)
      for (const [bone, whole] of [
        ['femur', femurBone],
        ['tibia', tibiaBone],
      ] as const) {
        const all = made.filter((p) => p.bone === bone).reduce((sum, p) => sum + volume(p.mesh), 0)
        expectNear(all, whole.volumeMm3!, { rel: 1e-9, because: 'nothing is lost between kept bone and pieces' })
      }
      for (const piece of made) {
        if (piece.bone !== 'femur' || piece.id === 'femur-kept') continue
        const p = piece.mesh.positions
        for (let i = 0; i < p.length; i += 3) {
          const height = coordinatesOf(axes, [p[i]!, p[i + 1]!, p[i + 2]!])[1]
          expect(height).toBeLessThanOrEqual(plan.volumes.femurBlockTopMm! + 1e-6)
        }
      }
    }
  })

  test('sizes are proposed from the family, the tray without much overhang', () => {
    const { implants, coverage } = planned('kinematic')
    expect(implants.femurSize).toBeGreaterThanOrEqual(1)
    expect(implants.tibiaSize).toBeGreaterThanOrEqual(1)
    expect(coverage!.largestOverhangMm).toBeLessThanOrEqual(1)
    expect(coverage!.fraction).toBeGreaterThan(0.7)
  })
})

// Distal femora and a proximal tibia from knee MRI (MIT, gattia/pymskt): no hip, no ankle.
test('truncated bones are planned about their shafts, and what counts from the stand-in axis is named', () => {
  for (const n of [2, 3]) {
    const input = realInput(`mri/distal_femur_right_${n}.ply`, 'mri/proximal_tibia_right_1.stl')
    for (const procedure of ['total', 'medial-partial'] as const) {
      const plan = expectOk(planCuts({ ...input, choices: choicesWith({ procedure }) }))
      for (const site of plan.sites)
        expectNear(site.differenceMm, 0, { absMm: 1e-8, because: 'the kinematic recipe needs no axis for depth' })
      const spoiled = plan.warnings.flatMap((w) => w.spoils)
      for (const path of ['after.hkaDeg', 'after.ldfaDeg', 'after.mptaDeg', 'cuts.tibia.varusDeg', 'limits.hka'])
        expect(spoiled).toContain(path)
      expect(plan.after.legLengthMm).toBeNull()
    }
  }
})

test('left and right bones that are mirror images get mirrored plans', () => {
  const right = expectOk(planCuts(realInput('hra/femur_right.ply', 'hra/tibia_right.ply')))
  const left = expectOk(planCuts(realInput('hra/femur_left.ply', 'hra/tibia_left.ply')))
  for (const cut of right.cuts) {
    const twin = left.cuts.find((c) => c.id === cut.id)!
    const close = { absDeg: 1e-3, because: 'the files hold float32 coordinates, about 1e-5 mm' }
    for (const key of ['varusDeg', 'valgusDeg', 'slopeDeg', 'flexionDeg', 'externalRotationDeg'] as const)
      if (cut[key] !== null) expectNear(twin[key]!, cut[key], close)
    expectNear(twin.removedMm3!, cut.removedMm3!, { rel: 1e-3, because: 'float32 coordinates' })
  }
  expect(left.implants).toEqual(right.implants)
})
