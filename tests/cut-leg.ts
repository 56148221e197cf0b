import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { findFemur } from '../src/anatomy/find-femur.ts'
import { findTibia } from '../src/anatomy/find-tibia.ts'
import { defaultReferences } from '../src/anatomy/terms.ts'
import { readMesh } from '../src/formats/read.ts'
import { writeStl } from '../src/formats/write-stl.ts'
import { makeBone } from '../src/geometry/bone.ts'
import { clip } from '../src/geometry/clip.ts'
import type { Mesh } from '../src/geometry/mesh.ts'
import { addScaled, scale, type Vec3 } from '../src/geometry/vec.ts'
import { weld } from '../src/geometry/weld.ts'
import { expectOk } from './near.ts'
import { sharedPath } from './shared.ts'

/** Files of a real leg cut as knee, hip and ankle scans cut it, all in the leg's own frame. */
export interface CutLeg {
  readonly thigh: string
  readonly shin: string
  readonly head: string
  readonly ankle: string
  readonly fibula: string
  /** Hip and knee slab of the femur in one file, knee and ankle slab of the tibia in one file, and all of them in one. */
  readonly femurSlabs: string
  readonly tibiaSlabs: string
  readonly allSlabs: string
}

/** Cuts the right leg of `bones/bp3d` and writes the parts into a folder. */
export function cutLeg(folder: string): CutLeg {
  mkdirSync(folder, { recursive: true })
  const meshOf = (name: string): Mesh => {
    const file = sharedPath('bones', 'bp3d', name)
    return weld(expectOk(readMesh(new Uint8Array(readFileSync(file)), name)).mesh).mesh
  }
  const femurMesh = meshOf('femur_right.stl')
  const tibiaMesh = meshOf('tibia_right.stl')
  const femur = expectOk(findFemur(expectOk(makeBone(femurMesh)), { references: defaultReferences }))
  const tibia = expectOk(findTibia(expectOk(makeBone(tibiaMesh)), { references: defaultReferences }))
  const [up, axis] = [femur.frame.y, tibia.frame.y]
  const part = (mesh: Mesh, point: Vec3, normal: Vec3): Mesh => expectOk(clip(mesh, { point, normal })).kept
  const written = (name: string, ...meshes: readonly Mesh[]): string => {
    const path = join(folder, name)
    writeFileSync(path, writeStl(together(meshes)))
    return path
  }
  const thigh = part(femurMesh, addScaled(femur.frame.origin, up, 120), scale(up, -1))
  const shin = part(tibiaMesh, addScaled(tibia.frame.origin, axis, -110), axis)
  const head = part(femurMesh, addScaled(femur.landmarks.hipCentre!.mm, up, -30), up)
  const ankle = part(tibiaMesh, addScaled(tibia.landmarks.ankleCentre!.mm, axis, 40), scale(axis, -1))
  return {
    thigh: written('thigh.stl', thigh),
    shin: written('shin.stl', shin),
    head: written('hip-part.stl', head),
    ankle: written('ankle-part.stl', ankle),
    fibula: sharedPath('bones', 'bp3d', 'fibula_right.stl'),
    femurSlabs: written('femur-slabs.stl', head, thigh),
    tibiaSlabs: written('tibia-slabs.stl', ankle, shin),
    allSlabs: written('all-slabs.stl', ankle, thigh, shin, head),
  }
}

function together(meshes: readonly Mesh[]): Mesh {
  const starts = meshes.map((_, k) => meshes.slice(0, k).reduce((sum, m) => sum + m.positions.length / 3, 0))
  return {
    positions: Float64Array.from(meshes.flatMap((m) => [...m.positions])),
    triangles: Uint32Array.from(meshes.flatMap((m, k) => [...m.triangles].map((v) => v + starts[k]!))),
  }
}
