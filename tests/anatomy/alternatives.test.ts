import { describe, expect, it } from 'vitest'
import { angleDefinitions } from '../../src/anatomy/angle-definitions.ts'
import { coronalType, coronalTypeWords } from '../../src/anatomy/coronal-type.ts'
import { femoralShape } from '../../src/anatomy/femoral-shape.ts'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import { anglesOfKnee } from '../../src/anatomy/measure-angles.ts'
import { measureCompanions } from '../../src/anatomy/measure-companions.ts'
import type { AngleKey } from '../../src/anatomy/normal-ranges.ts'
import { defaultReferences, type FemurAnatomy, type References } from '../../src/anatomy/terms.ts'
import { dot, toDeg } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'
import { boneOf, femurOf, realMesh, tibiaOf } from './bones.ts'

const femurMesh = realMesh('bp3d/femur_right.stl')
const tibiaMesh = realMesh('bp3d/tibia_right.stl')
const shaped = (references: References): FemurAnatomy => {
  const femur = femurOf(femurMesh, {}, references)
  return { ...femur, shape: femoralShape(boneOf(femurMesh), femur) }
}
const fibula = {
  part: 'fibula',
  file: { sha256: '0'.repeat(64), name: 'fibula.stl', unitFactor: 1, repairs: [] },
  bone: boneOf(realMesh('bp3d/fibula_right.stl')),
} as const
const { landmarks: lateral } = measureCompanions([fibula], { femur: null, tibia: tibiaOf(tibiaMesh) })

function knee(references: References) {
  const femur = shaped(references)
  return { femur, tibia: tibiaOf(tibiaMesh, lateral, references, femur) }
}

const usual = knee(defaultReferences)
const definitions = angleDefinitions(usual.femur, usual.tibia, defaultReferences, true)

/** Every alternative of the conventions' table, and an angle that depends on it. */
const alternatives = [
  ['femoralKneeCentre', 'epicondyles', 'ldfaDeg'],
  ['femoralMedioLateral', 'epicondylar', 'ldfaDeg'],
  ['femoralMedioLateral', 'condylar-cylinder', 'ldfaDeg'],
  ['tibialKneeCentre', 'plateaus', 'mptaDeg'],
  ['ankleCentre', 'malleoli', 'mptaDeg'],
  ['tibialAnterior', 'posterior-tangent', 'mptaDeg'],
  ['tibialAnterior', 'femoral', 'mptaDeg'],
  ['plateauPoint', 'deepest', 'mptaPlainDeg'],
  ['slopeAxis', 'proximal-shaft', 'slopeMedialDeg'],
] as const satisfies readonly (readonly [keyof References, string, AngleKey])[]

describe('every alternative of the conventions', () => {
  it.each(alternatives)('%s: %s stands beside %s with the value it has when it is chosen', (reference, value, key) => {
    const beside = definitions[`angles.${key}`]!.alternatives.find(
      ({ choose }) => choose?.reference === reference && choose.value === value,
    )
    const references = { ...defaultReferences, [reference]: value } as References
    const chosen = knee(references)
    const afresh = anglesOfKnee(chosen.femur, chosen.tibia, references, true)[key]!
    expectNear(beside!.valueDeg, afresh, {
      absDeg: 0.5,
      because:
        'beside the default landmarks stay where they were found; chosen, the finder looks afresh in the turned frame',
    })
    // And the default stands beside the alternative in turn.
    const back = angleDefinitions(chosen.femur, chosen.tibia, references, true)[`angles.${key}`]!.alternatives.find(
      ({ choose }) => choose?.reference === reference && choose.value === defaultReferences[reference],
    )
    expectNear(back!.valueDeg, anglesOfKnee(usual.femur, usual.tibia, defaultReferences, true)[key]!, {
      absDeg: 1.5,
      because: 'the same the other way round; seen from a front some 15° aside, notch and tubercle are found elsewhere',
    })
  })

  it('that need no choice stand beside their angle', () => {
    const beside = (key: AngleKey) => definitions[`angles.${key}`]!.alternatives.map(({ definition }) => definition)
    expect(beside('mptaDeg')).toContain('plain line through the two plateau points')
    expect(beside('hkaDeg')).toContain('one knee centre, the femoral, for both bones')
    expect(beside('jlcaDeg')).toContain('measured between the two joint lines in the femoral coronal plane')
    expect(beside('slopeMedialDeg')).toContain('the lateral plateau')
    expect(beside('anteversionDeg')).toEqual(
      expect.arrayContaining(['against the epicondyle line', 'against the axis of the condylar cylinder']),
    )
    expect(beside('tibialTorsionDeg')).toEqual(
      expect.arrayContaining([
        'against the tangent behind the tibial condyles',
        'from the medial malleolus through the middle of the plafond',
      ]),
    )
    expect(beside('posteriorCondylarDeg')).toContain(
      'from the sulcus of the medial epicondyle instead of its prominence',
    )
  })

  it('anteversion against another line differs by the angle between the two lines', () => {
    const condylar = definitions['angles.posteriorCondylarDeg']!
    const { alternatives: others } = definitions['angles.anteversionDeg']!
    const now = anglesOfKnee(usual.femur, usual.tibia, defaultReferences, true)
    const epicondylar = others.find(({ definition }) => definition === 'against the epicondyle line')!.valueDeg
    expect(condylar.landmarks).toContain('epicondyleMedial')
    // The epicondyle line is externally rotated to the condyles, and the neck’s anteversion less by as much.
    expectNear(now.anteversionDeg! - epicondylar, now.posteriorCondylarDeg!, {
      absDeg: 1e-6,
      because: 'the same three directions in one axial plane; a line externally rotated lies nearer behind the neck',
    })
  })
})

describe('the evidence of a found landmark', () => {
  it('is filled for every one that lies on the surface or is a fit to it', () => {
    for (const [mesh, bone] of [
      [boneOf(femurMesh).mesh, usual.femur],
      [boneOf(tibiaMesh).mesh, usual.tibia],
    ] as const)
      for (const [id, mark] of Object.entries(judgedLandmarks(mesh, bone).landmarks)) {
        if (mark.source !== 'found') continue
        expect(mark.evidence, id).toBeDefined()
        for (const [name, value] of Object.entries(mark.evidence!))
          if (name === 'fitRmsMm' || name === 'edgeMm') expect(value, `${id} ${name}`).toBeGreaterThan(0)
      }
  })
})

describe('the coronal type by other definitions', () => {
  const { types } = definitions['angles.coronalType']!

  it.each(
    types!
      .filter(({ choose }) => choose !== null)
      .map(({ definition, type, choose }) => ({ definition, type, choose })),
  )('$definition: the class of the angles that stand beside LDFA and MPTA by it', ({ type, choose }) => {
    const beside = (key: 'ldfaDeg' | 'mptaDeg') =>
      definitions[`angles.${key}`]!.alternatives.find(
        (other) => other.choose?.reference === choose!.reference && other.choose.value === choose!.value,
      )?.valueDeg ?? anglesOfKnee(usual.femur, usual.tibia, defaultReferences, true)[key]!
    expect(type).toBe(coronalType(beside('ldfaDeg'), beside('mptaDeg')))
  })

  it('follows every choice that LDFA or MPTA follows, and the plain line beside them', () => {
    const choices = (path: string) =>
      definitions[path]!.alternatives.flatMap(({ choose }) => (choose ? [`${choose.reference} ${choose.value}`] : []))
    const told = types!.flatMap(({ choose }) => (choose ? [`${choose.reference} ${choose.value}`] : []))
    expect(new Set(told)).toEqual(new Set([...choices('angles.ldfaDeg'), ...choices('angles.mptaDeg')]))
    expect(types!.filter(({ choose }) => choose === null)).toHaveLength(1)
  })

  it('is called in words by limb and apex (rows and columns of MacDessi et al., Bone Joint J 2021;103-B:329)', () => {
    expect(coronalTypeWords('I')).toBe('varus, apex distal')
    expect(coronalTypeWords('V')).toBe('neutral, level joint line')
    expect(coronalTypeWords('IX')).toBe('valgus, apex proximal')
  })
})

it('the posterior distal femoral angle stands beside itself against the whole shaft and the mechanical axis, apart by their lean', () => {
  const { alternatives } = definitions['angles.pdfaDeg']!
  const by = (words: string) => alternatives.find(({ definition }) => definition === words)!.valueDeg
  const now = anglesOfKnee(usual.femur, usual.tibia, defaultReferences, true).pdfaDeg!
  const { distalShaft, frame } = usual.femur
  const leanDeg = toDeg(Math.atan2(dot(distalShaft.direction, frame.x), dot(distalShaft.direction, frame.y)))
  expectNear(by('against the mechanical axis') - now, -leanDeg, {
    absDeg: 1e-9,
    because: 'the same line behind, another before',
  })
  expect(by('against the axis of the whole shaft')).not.toBe(now)
})
