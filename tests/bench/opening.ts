import type { BufferGeometry } from 'three'
import { STLLoader } from 'three/addons/loaders/STLLoader.js'
import { mergeVertices } from 'three/addons/utils/BufferGeometryUtils.js'
import { MeshBVH } from 'three-mesh-bvh'
import { readMesh } from '../../src/formats/read.ts'
import { makeBone } from '../../src/geometry/bone.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'

/** Parse and weld. */
export function readOurs(stl: Uint8Array): Mesh {
  const read = readMesh(stl, 'bench.stl')
  if (!read.ok) throw new Error(read.failure.message)
  return read.value.mesh
}

export function readTheirs(stl: Uint8Array): BufferGeometry {
  const bytes = stl.buffer.slice(stl.byteOffset, stl.byteOffset + stl.byteLength) as ArrayBuffer
  const geometry = new STLLoader().parse(bytes)
  // With its normals the loader's vertices never merge.
  geometry.deleteAttribute('normal')
  return mergeVertices(geometry)
}

/** Parse, weld, check, tree. */
export function openOurs(stl: Uint8Array): number {
  const mesh = readOurs(stl)
  const bone = makeBone(mesh)
  return meshHealth(mesh).boundaryEdges + (bone.ok ? bone.value.tree.nodeCount : Number.NaN)
}

/** The same without the check, which there is none of. */
export function openTheirs(stl: Uint8Array): number {
  return new MeshBVH(readTheirs(stl)).geometry.index!.count
}
