import { readFileSync } from 'node:fs'
import { findFemur } from '../../src/anatomy/find-femur.ts'
import { findTibia } from '../../src/anatomy/find-tibia.ts'
import { measureAngles } from '../../src/anatomy/measure-angles.ts'
import { defaultReferences } from '../../src/anatomy/terms.ts'
import { readMesh } from '../../src/formats/read.ts'
import { type BoneMesh, makeBone } from '../../src/geometry/bone.ts'
import type { PlanInput } from '../../src/planning/plan.ts'
import { expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { choicesWith } from './demo-input.ts'

/** Planning input from real bones of the shared reference data, no landmark set by hand. */
export function realInput(femurFile: string, tibiaFile: string): PlanInput {
  const femurBone = boneOf(femurFile)
  const tibiaBone = boneOf(tibiaFile)
  const references = defaultReferences
  const femur = expectOk(findFemur(femurBone, { references }))
  const tibia = expectOk(findTibia(tibiaBone, { references }))
  const { angles } = measureAngles(femur, tibia, { references, frame: 'unknown' })
  return { femur, tibia, femurBone, tibiaBone, angles, choices: choicesWith() }
}

function boneOf(file: string): BoneMesh {
  const { mesh } = expectOk(readMesh(readFileSync(sharedPath('bones', ...file.split('/'))), file))
  return expectOk(makeBone(mesh))
}
