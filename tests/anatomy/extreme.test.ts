import { beforeAll, describe, expect, it } from 'vitest'
import { type Leg, makeLeg, ordinaryLeg } from '../../demo-models/leg.ts'
import { defaultAnatomyLimits, type FlagId } from '../../src/anatomy/flags.ts'
import { type AnatomyFindings, anatomyFindings } from '../../src/assess.ts'
import { type Bones, findAnatomy } from '../../src/casefile/case-anatomy.ts'
import { type CaseDocument, newCase } from '../../src/casefile/document.ts'
import { rotate, rotationAbout } from '../../src/geometry/rigid.ts'
import { mapMesh } from '../../src/geometry/transform.ts'
import { dot, sub, toDeg, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear, expectOk } from '../near.ts'
import { boneOf } from './bones.ts'

const bonesOf = (leg: Leg): Bones => ({ femur: boneOf(leg.femur), tibia: boneOf(leg.tibia) })
const look = (bones: Bones, document: CaseDocument = newCase): AnatomyFindings =>
  anatomyFindings(document, bones, expectOk(findAnatomy(document, bones)))

let plain: Bones
let extreme: Bones
let ordinary: AnatomyFindings
let odd: AnatomyFindings
let ordinaryTruth: Leg['truth']
let oddTruth: Leg['truth']
beforeAll(() => {
  const ordinaryOne = makeLeg({}, { edgeMm: 2.5 })
  const oddOne = makeLeg(
    {
      side: 'left',
      ldfaDeg: 90,
      mptaDeg: 81,
      slopeMedialDeg: 16,
      slopeLateralDeg: -3,
      anteversionDeg: 30,
      tibialTorsionDeg: 40,
      femoralBowMm: 24,
    },
    { edgeMm: 2.5 },
  )
  ordinaryTruth = ordinaryOne.truth
  oddTruth = oddOne.truth
  plain = bonesOf(ordinaryOne)
  extreme = bonesOf(oddOne)
  ordinary = look(plain)
  odd = look(extreme)
}, 120_000)

/** Line from the malleolus' tip through the plafond's middle against that of the plateau points, on the shape as it was made; degrees. */
function torsionOfPoints({ side, tibia }: Leg['truth']): number {
  const { x, z } = tibia.frame
  const back = (from: Vec3, to: Vec3) =>
    Math.atan2(-dot(sub(to, from), x), (side === 'right' ? 1 : -1) * dot(sub(to, from), z))
  const { malleolusMedial, ankleCentre, plateauMedial, plateauLateral } = tibia.landmarks
  return toDeg(back(malleolusMedial, ankleCentre) - back(plateauMedial, plateauLateral))
}

describe('what is told of anatomy beyond landmarks', () => {
  it('anteversion and torsion follow those that a leg was made with', () => {
    const version = [ordinary, odd].map(({ angles }) => angles.anteversionDeg!)
    const torsion = [ordinary, odd].map(({ angles }) => angles.tibialTorsionDeg!)
    const because = 'the model’s neck swells into the shaft'
    expectNear(version[0]!, ordinaryLeg.anteversionDeg, { absDeg: 4, because })
    expectNear(version[1]! - version[0]!, 30 - ordinaryLeg.anteversionDeg, { absDeg: 3, because })
    const own = [ordinaryTruth, oddTruth].map(torsionOfPoints)
    for (const k of [0, 1])
      expectNear(torsion[k]!, own[k]!, { absDeg: 1.5, because: 'points of the shape itself, lines some 40 mm long' })
    expectNear(torsion[1]! - torsion[0]!, 40 - ordinaryLeg.tibialTorsionDeg, {
      absDeg: 2,
      because: 'without a fibula the line runs through tip and plafond, which turn with the model’s ankle',
    })
  })

  it('an ordinary leg raises no flag, an extreme one every flag it earns', () => {
    expect(ordinary.flags).toEqual([])
    const raised = new Set<FlagId>(odd.flags.map(({ id }) => id))
    expect([...raised].toSorted()).toEqual(
      ['constitutional-varus', 'femoral-bow', 'slope-lateral', 'slope-medial'].toSorted(),
    )
    for (const flag of odd.flags) {
      expect(flag.changes.length).toBeGreaterThan(40)
      expect(flag.basis).toMatch(/common practice, no source/)
    }
  })

  it('limits are the case’s own', () => {
    const wide = { ...defaultAnatomyLimits, constitutionalDeg: 30, slopeLowDeg: -20, slopeHighDeg: 40, bowMm: 60 }
    expect(look(extreme, { ...newCase, anatomyLimits: wide }).flags).toEqual([])
    const narrow = { ...defaultAnatomyLimits, obliquityLowDeg: 180 }
    const flags = look(plain, { ...newCase, anatomyLimits: narrow }).flags
    expect(flags.map(({ id }) => id)).toEqual(['joint-line-obliquity'])
  })

  it.each([
    [8, 'lateral'],
    [-8, 'medial'],
  ] as const)('a shank tilted by %d° in its file is told, with the side that opens', (deg, opens) => {
    const { side, tibia, femur } = ordinaryTruth
    // About the femur's front through the knee: to varus the lateral side opens.
    const rotation = rotationAbout(femur.frame.x, ((side === 'right' ? 1 : -1) * deg * Math.PI) / 180)
    const knee = tibia.frame.origin
    const turned = rotate(rotation, knee)
    const tilted = mapMesh(plain.tibia.mesh, { rotation, translation: sub(knee, turned) })
    const { flags, angles } = look({ femur: plain.femur, tibia: boneOf(tilted) })
    const before = ordinary.angles.jlcaLinesDeg!
    expectNear(angles.jlcaLinesDeg! - before, deg, { absDeg: 0.2, because: 'the plateaus were turned by this' })
    expect(flags.map(({ id }) => id)).toEqual(['joint-line-convergence'])
    expect(flags[0]!.message).toMatch(opens)
  })

  it('another definition’s value is what the angle becomes once that definition is chosen', () => {
    for (const path of ['angles.slopeMedialDeg', 'angles.mptaDeg', 'angles.ldfaDeg'] as const) {
      const key = path.slice('angles.'.length) as 'slopeMedialDeg' | 'mptaDeg' | 'ldfaDeg'
      const entry = ordinary.definitions[path]!
      const chosen = entry.alternatives.filter(({ choose }) => choose !== null)
      expect(chosen.length).toBeGreaterThan(0)
      for (const { choose, valueDeg } of chosen) {
        const document = {
          ...newCase,
          references: { ...newCase.references, [choose!.reference]: choose!.value },
        } as CaseDocument
        expectNear(look(plain, document).angles[key]!, valueDeg, {
          absDeg: 0.3,
          because: `${path} by ${choose!.value}: landmarks are found again in the turned frame and move a little`,
        })
      }
    }
  })

  it('every angle names its definition and its landmarks, and each range its source', () => {
    for (const [path, entry] of Object.entries(ordinary.definitions)) {
      expect(entry.landmarks.length, path).toBeGreaterThan(0)
      expect(entry.definition.length, path).toBeGreaterThan(20)
      if (entry.normal) {
        expect(entry.normal.source, path).toMatch(/(19|20)\d\d/)
        expect(entry.normal.lowDeg).toBeLessThan(entry.normal.highDeg)
      }
    }
    // 500 normal knees, −0.87 ± 2.54 (MacDessi et al., Bone Jt Open 2021;2(5)); 1090 tibiae, 6.9 ± 3.7 (Weinberg et al. 2017).
    const range = (path: string) => ordinary.definitions[path]!.normal!
    expectNear(range('angles.arithmeticHkaDeg').lowDeg, -0.87 - 1.96 * 2.54, { absDeg: 1e-9, because: 'arithmetic' })
    expectNear(range('angles.slopeMedialDeg').highDeg, 6.9 + 1.96 * 3.7, { absDeg: 1e-9, because: 'arithmetic' })
  })
})
