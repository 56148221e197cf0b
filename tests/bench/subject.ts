import type { BufferGeometry } from 'three'
import { BufferAttribute, BufferGeometry as Geometry } from 'three'
import { writeStl } from '../../src/formats/write-stl.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import type { Plane } from '../../src/geometry/plane.ts'
import { buildTree, type MeshTree } from '../../src/geometry/tree.ts'
import { unit, type Vec3 } from '../../src/geometry/vec.ts'
import { boneLike, randomDirection } from '../fixtures/shapes.ts'
import { type Solid, type SolidLibrary, solidOf } from '../fixtures/solids.ts'

/** What the comparisons of one size work on. */
export interface Subject {
  readonly triangles: number
  readonly mesh: Mesh
  readonly tree: MeshTree
  readonly solid: Solid
  readonly library: SolidLibrary
  readonly stl: Uint8Array
  /** Planes across the bone, one after another, so that no two runs in turn do the same. */
  readonly planes: readonly Plane[]
  readonly block: Plane
  readonly fiveCuts: readonly Plane[]
}

const facing = (n: Vec3, point: Vec3): Plane => ({ point, normal: unit(n) })

/** A seeded bone-like mesh in rows, as segmentation tools write it, coordinates exact in float32. */
export function subject(size: number, library: SolidLibrary): Subject {
  const mesh = boneLike(size, 1)
  return {
    triangles: mesh.triangles.length / 3,
    mesh,
    tree: buildTree(mesh),
    solid: solidOf(library, mesh),
    library,
    stl: writeStl(mesh),
    planes: Array.from({ length: 32 }, (_, k) => ({
      point: [2, 14 + 3 * k, 1] as Vec3,
      normal: tilted(randomDirection(k)),
    })),
    block: facing([0, -1, 0], [0, 70, 0]),
    fiveCuts: [
      facing([0.07, 1, 0.03], [0, 14, 0]),
      facing([-1, 0.12, 0.05], [17, 40, 0]),
      facing([1, 0.12, 0.02], [-16, 40, 0]),
      facing([1, 1, 0.05], [-12, 14, 0]),
      facing([-1, 1, -0.05], [13, 14, 0]),
    ],
  }
}

/** Within about 20° of the long axis, as bone cuts are. */
const tilted = (d: Vec3): Vec3 => unit([0.35 * d[0], 1, 0.35 * d[2]])

export function geometryOf(mesh: Mesh): BufferGeometry {
  const geometry = new Geometry()
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(mesh.positions), 3))
  geometry.setIndex(new BufferAttribute(mesh.triangles.slice(), 1))
  return geometry
}
