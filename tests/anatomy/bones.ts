import { readFileSync } from 'node:fs'
import { findFemur } from '../../src/anatomy/find-femur.ts'
import { findTibia } from '../../src/anatomy/find-tibia.ts'
import {
  defaultReferences,
  type FemurAnatomy,
  type LandmarkOverrides,
  type References,
  type TibiaAnatomy,
} from '../../src/anatomy/terms.ts'
import { readMesh } from '../../src/formats/read.ts'
import { type BoneMesh, makeBone } from '../../src/geometry/bone.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { type Rigid, rotationAbout } from '../../src/geometry/rigid.ts'
import { mapMesh } from '../../src/geometry/transform.ts'
import { unit } from '../../src/geometry/vec.ts'
import { weld } from '../../src/geometry/weld.ts'
import { expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

/** A real bone of the shared data, welded, in the frame of its file. */
export function realMesh(name: string): Mesh {
  const file = expectOk(readMesh(new Uint8Array(readFileSync(sharedPath('bones', name))), name))
  return weld(file.mesh).mesh
}

export const boneOf = (mesh: Mesh): BoneMesh => expectOk(makeBone(mesh))

export const femurOf = (
  mesh: Mesh,
  overrides: LandmarkOverrides = {},
  references: References = defaultReferences,
): FemurAnatomy => expectOk(findFemur(boneOf(mesh), { references, overrides }))

export const tibiaOf = (
  mesh: Mesh,
  overrides: LandmarkOverrides = {},
  references: References = defaultReferences,
  femur?: FemurAnatomy,
): TibiaAnatomy => expectOk(findTibia(boneOf(mesh), { references, overrides, ...(femur ? { femur } : {}) }))

/** A random rotation about a random axis with a shift of up to half a metre. */
export function randomMotion(random: () => number): Rigid {
  const axis = unit([random() - 0.5, random() - 0.5, random() - 0.5])
  const far = () => 1000 * random() - 500
  return { rotation: rotationAbout(axis, 2 * Math.PI * random()), translation: [far(), far(), far()] }
}

/** The same surface with vertices, triangles and first corners in random order, moved by `motion`. */
export function disguised(mesh: Mesh, motion: Rigid, random: () => number): Mesh {
  const n = mesh.positions.length / 3
  const places = shuffled(n, random)
  const positions = new Float64Array(3 * n)
  for (let i = 0; i < n; i++) for (let k = 0; k < 3; k++) positions[3 * places[i]! + k] = mesh.positions[3 * i + k]!
  const order = shuffled(mesh.triangles.length / 3, random)
  const triangles = new Uint32Array(mesh.triangles.length)
  order.forEach((from, to) => {
    const first = Math.floor(3 * random())
    for (let k = 0; k < 3; k++) triangles[3 * to + k] = places[mesh.triangles[3 * from + ((k + first) % 3)]!]!
  })
  return mapMesh({ positions, triangles }, motion)
}

function shuffled(n: number, random: () => number): number[] {
  const out = Array.from({ length: n }, (_, i) => i)
  for (let i = n - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1))
    const held = out[i]!
    out[i] = out[j]!
    out[j] = held
  }
  return out
}
