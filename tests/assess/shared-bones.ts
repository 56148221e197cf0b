import { readFileSync } from 'node:fs'
import { boneFromBytes, type OpenedBone } from '../../src/casefile/bone-from-bytes.ts'
import type { Bones } from '../../src/casefile/case-anatomy.ts'
import { expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const opened = new Map<string, OpenedBone>()

/** A bone of the shared data, opened once per test file. */
export function sharedBone(...parts: readonly string[]): OpenedBone {
  const key = parts.join('/')
  const known = opened.get(key)
  if (known) return known
  const bone = expectOk(boneFromBytes(new Uint8Array(readFileSync(sharedPath('bones', ...parts))), key, null))
  opened.set(key, bone)
  return bone
}

export const bonesOf = (femur: readonly string[], tibia: readonly string[]): Bones => ({
  femur: sharedBone(...femur).bone,
  tibia: sharedBone(...tibia).bone,
})

export const bp3d = (): Bones => bonesOf(['bp3d', 'femur_right.stl'], ['bp3d', 'tibia_right.stl'])
export const hra = (side: 'left' | 'right'): Bones =>
  bonesOf(['hra', `femur_${side}.ply`], ['hra', `tibia_${side}.ply`])
