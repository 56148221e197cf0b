import { readdirSync, readFileSync } from 'node:fs'
import { PLYLoader } from 'three/addons/loaders/PLYLoader.js'
import { STLLoader } from 'three/addons/loaders/STLLoader.js'
import { describe, expect, it } from 'vitest'
import { readMesh } from '../../src/formats/read.ts'
import { expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

/** The corner coordinates of all triangles in file order, as the general-purpose library three reads them. */
function cornersByThree(bytes: Uint8Array, name: string): Float32Array {
  const buffer = bytes.slice().buffer
  const geometry = name.endsWith('.ply') ? new PLYLoader().parse(buffer) : new STLLoader().parse(buffer)
  const loose = geometry.index === null ? geometry : geometry.toNonIndexed()
  return Float32Array.from(loose.getAttribute('position').array)
}

const folders = ['bp3d', 'hra', 'mri', 'other', 'defects']
const bones = folders.flatMap((folder) =>
  readdirSync(sharedPath('bones', folder))
    .filter((name) => /\.(stl|ply)$/.test(name))
    .map((name) => [folder, name] as const),
)

describe('the real bones, against the loaders of three', () => {
  it('are all there', () => {
    expect(bones.length).toBe(23)
  })

  it.each(bones)('%s/%s has the same triangles in the same order', (folder, name) => {
    const bytes = new Uint8Array(readFileSync(sharedPath('bones', folder, name)))
    const { mesh, droppedTriangles } = expectOk(readMesh(bytes, name))
    const theirs = cornersByThree(bytes, name)
    expect(droppedTriangles).toBe(0)
    expect(mesh.triangles.length).toBe(theirs.length / 3)
    const firstDifferent = mesh.triangles.findIndex((v, i) =>
      [0, 1, 2].some((k) => Math.fround(mesh.positions[3 * v + k]!) !== theirs[3 * i + k]! + 0),
    )
    expect(firstDifferent).toBe(-1)
  })
})
