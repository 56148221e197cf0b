import { BoxGeometry, type BufferAttribute, type BufferGeometry, Quaternion, Ray, Vector3 } from 'three'
import { Brush, Evaluator, SUBTRACTION } from 'three-bvh-csg'
import { MeshBVH } from 'three-mesh-bvh'
import { clip } from '../../src/geometry/clip.ts'
import { halfSpace, halfSpaceByFullPass } from '../../src/geometry/half-space.ts'
import { volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { flipped, offsetPlane, type Plane } from '../../src/geometry/plane.ts'
import { planeBasis } from '../../src/geometry/plane-basis.ts'
import { closestPoint, firstHit } from '../../src/geometry/query.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { convexResection } from '../../src/geometry/resection.ts'
import { section } from '../../src/geometry/section.ts'
import { resectionSolids } from '../../src/geometry/solids.ts'
import { dot, type Vec3 } from '../../src/geometry/vec.ts'
import { positiveSide, type Solid } from '../fixtures/solids.ts'
import { clipCrossedOnly, crossedTriangles } from './floor.ts'
import { openOurs, openTheirs, readOurs, readTheirs } from './opening.ts'
import { compare, type Pair } from './pairs.ts'
import { geometryOf, type Subject } from './subject.ts'

export interface Comparison {
  readonly name: string
  readonly against: string
  /** What the issue asks of the ratio at a size, if anything. */
  readonly target?: { readonly triangles: number; readonly atLeast: number }
  /** What the issue asks of our own time at a size, ms. */
  readonly atMost?: { readonly triangles: number; readonly ms: number }
  /** Sizes above this are left out: the other tool takes minutes. */
  readonly upTo?: number
  readonly run: (s: Subject, seconds: number) => Pair
}

export const comparisons: readonly Comparison[] = [
  {
    name: 'one plane, volume and area',
    against: 'manifold-3d trim',
    target: { triangles: 1_000_000, atLeast: 1500 },
    run: (s, seconds) =>
      compare(onePlane(s), (k) => freed(positiveSide(s.solid, planeAt(s, k)), (p) => p.volume()), seconds),
  },
  {
    name: 'one plane, volume and area',
    against: 'three-bvh-csg subtraction',
    upTo: 200_000,
    run: (s, seconds) => compare(onePlane(s), csgSubtraction(s), seconds),
  },
  {
    name: 'one plane, volume and area',
    against: 'one pass over all triangles',
    run: (s, seconds) => compare(onePlane(s), (k) => halfSpaceByFullPass(s.mesh, planeAt(s, k)).volumeMm3, seconds),
  },
  {
    name: 'one plane, volume and area',
    against: 'floor: clipping the known crossed triangles only',
    target: { triangles: 1_000_000, atLeast: 0.2 },
    run: (s, seconds) => {
      const crossed = s.planes.map((plane) => crossedTriangles(s.tree, plane))
      return compare(
        onePlane(s),
        (k) => clipCrossedOnly(s.tree.mesh.positions, crossed[k % crossed.length]!, planeAt(s, k)),
        seconds,
      )
    },
  },
  {
    name: '1,000 nearby planes',
    against: 'one pass over all triangles, once',
    atMost: { triangles: 1_000_000, ms: 250 },
    run: (s, seconds) => compare(nearbyPlanes(s), (k) => halfSpaceByFullPass(s.mesh, planeAt(s, k)).volumeMm3, seconds),
  },
  {
    name: 'both capped solids',
    against: 'manifold-3d split',
    run: (s, seconds) =>
      compare(
        (k) => {
          const parts = clip(s.tree.mesh, planeAt(s, k))
          return parts.ok ? parts.value.kept.triangles.length : Number.NaN
        },
        (k) => {
          const q = planeAt(s, k)
          const [a, b] = s.solid.splitByPlane([...q.normal], dot(q.normal, q.point))
          return freed(a, meshSize) + freed(b, meshSize)
        },
        seconds,
      ),
  },
  {
    name: 'section outline and area',
    against: 'manifold-3d turn and slice',
    run: (s, seconds) => compare((k) => section(s.tree, planeAt(s, k)).areaMm2, manifoldSlice(s), seconds),
  },
  {
    name: 'five cuts, volume of each',
    against: 'manifold-3d, five trims',
    target: { triangles: 200_000, atLeast: 500 },
    upTo: 200_000,
    run: (s, seconds) =>
      compare(
        (k) => convexResection(s.tree, shifted(s.fiveCuts, k)).totalMm3,
        (k) => trims(s.solid, shifted(s.fiveCuts, k)),
        seconds,
      ),
  },
  {
    name: 'five cuts in a block, volume of each',
    against: 'manifold-3d, six trims',
    target: { triangles: 200_000, atLeast: 500 },
    run: (s, seconds) =>
      compare(
        (k) => convexResection(s.tree, shifted(s.fiveCuts, k), s.block).totalMm3,
        (k) => trims(s.solid, [s.block, ...shifted(s.fiveCuts, k)]),
        seconds,
      ),
  },
  {
    name: 'five cuts, closed meshes of bone and pieces',
    against: 'manifold-3d, splits and union',
    target: { triangles: 200_000, atLeast: 10 },
    run: (s, seconds) =>
      compare(
        (k) => {
          const solids = resectionSolids(s.tree.mesh, shifted(s.fiveCuts, k), s.block)
          return solids.ok ? solids.value.kept.mesh.triangles.length : Number.NaN
        },
        (k) => fiveSplits(s, k),
        seconds,
      ),
  },
  {
    name: 'binary STL, parse and weld',
    against: 'three STLLoader + mergeVertices',
    target: { triangles: 1_000_000, atLeast: 6 },
    run: (s, seconds) =>
      compare(
        () => readOurs(s.stl).triangles.length,
        () => readTheirs(s.stl).index!.count,
        seconds,
      ),
  },
  {
    name: 'opening: parse, weld, check, tree',
    against: 'three STLLoader + mergeVertices + MeshBVH',
    target: { triangles: 1_000_000, atLeast: 2 },
    run: (s, seconds) =>
      compare(
        () => openOurs(s.stl),
        () => openTheirs(s.stl),
        seconds,
      ),
  },
  {
    name: '10,000 rays',
    against: 'three-mesh-bvh raycastFirst',
    run: (s, seconds) => {
      const bvh = new MeshBVH(geometryOf(s.mesh))
      const rays = randomRays()
      const ray = new Ray()
      return compare(
        () => rays.reduce((sum, [origin, along]) => sum + (firstHit(s.tree, origin, along)?.distanceMm ?? 0), 0),
        () =>
          rays.reduce((sum, [origin, along]) => {
            ray.origin.set(...origin)
            ray.direction.set(...along)
            return sum + (bvh.raycastFirst(ray, 2)?.distance ?? 0)
          }, 0),
        seconds,
      )
    },
  },
  {
    name: '10,000 nearest points',
    against: 'three-mesh-bvh closestPointToPoint',
    run: (s, seconds) => {
      const bvh = new MeshBVH(geometryOf(s.mesh))
      const rays = randomRays()
      const p = new Vector3()
      return compare(
        () => rays.reduce((sum, [origin]) => sum + (closestPoint(s.tree, origin)?.distanceMm ?? 0), 0),
        () => rays.reduce((sum, [origin]) => sum + (bvh.closestPointToPoint(p.set(...origin))?.distance ?? 0), 0),
        seconds,
      )
    },
  },
]

const planeAt = (s: Subject, k: number): Plane => s.planes[k % s.planes.length]!

const onePlane =
  (s: Subject) =>
  (k: number): number => {
    const { volumeMm3, areaMm2 } = halfSpace(s.tree, planeAt(s, k))
    return volumeMm3 + areaMm2
  }

/** A plane dragged by hand: a thousand steps of 0.02 mm. */
const nearbyPlanes =
  (s: Subject) =>
  (round: number): number => {
    let sum = 0
    for (let k = 0; k < 1000; k++) sum += halfSpace(s.tree, offsetPlane(planeAt(s, round), 0.02 * k - 10)).volumeMm3
    return sum
  }

const shifted = (planes: readonly Plane[], k: number): Plane[] => planes.map((q) => offsetPlane(q, 0.01 * (k % 50)))

function freed(solid: Solid, measure: (solid: Solid) => number): number {
  const value = measure(solid)
  solid.delete()
  return value
}

const meshSize = (solid: Solid): number => solid.getMesh().triVerts.length

/** One trim after another, the volume taken after each. */
function trims(whole: Solid, planes: readonly Plane[]): number {
  let left = whole
  let sum = 0
  for (const plane of planes) {
    const next = positiveSide(left, plane)
    if (left !== whole) left.delete()
    left = next
    sum += left.volume()
  }
  left.delete()
  return sum
}

function fiveSplits(s: Subject, k: number): number {
  const q = s.block
  const [inside, outside] = s.solid.splitByPlane([...q.normal], dot(q.normal, q.point))
  let left = inside
  let sum = 0
  for (const plane of shifted(s.fiveCuts, k)) {
    const [next, piece] = left.splitByPlane([...plane.normal], dot(plane.normal, plane.point))
    sum += freed(piece, meshSize)
    left.delete()
    left = next
  }
  sum += freed(s.library.Manifold.union(left, outside), meshSize)
  left.delete()
  outside.delete()
  return sum
}

/** The library slices across z only, so the solid is turned to the plane first. */
function manifoldSlice(s: Subject): (k: number) => number {
  return (k) => {
    const q = planeAt(s, k)
    const [u, v] = planeBasis(q.normal)
    const n = q.normal
    const turned = s.solid.transform([u[0], v[0], n[0], 0, u[1], v[1], n[1], 0, u[2], v[2], n[2], 0, 0, 0, 0, 1])
    const cut = turned.slice(dot(q.normal, q.point))
    const area = cut.toPolygons().length + cut.area()
    cut.delete()
    turned.delete()
    return area
  }
}

function csgSubtraction(s: Subject): (k: number) => number {
  const evaluator = new Evaluator()
  evaluator.attributes = ['position']
  evaluator.useGroups = false
  const bone = new Brush(geometryOf(s.mesh))
  bone.updateMatrixWorld()
  bone.prepareGeometry()
  const slab = new Brush(new BoxGeometry(2000, 2000, 2000))
  return (k) => {
    const q = flipped(planeAt(s, k))
    slab.quaternion.copy(new Quaternion().setFromUnitVectors(new Vector3(0, 0, 1), new Vector3(...q.normal)))
    slab.position.set(...q.point).addScaledVector(new Vector3(...q.normal), 1000)
    slab.updateMatrixWorld()
    const result = evaluator.evaluate(bone, slab, SUBTRACTION)
    return volume(meshOf(result.geometry))
  }
}

function meshOf(geometry: BufferGeometry): Mesh {
  const position = geometry.getAttribute('position') as BufferAttribute
  const count = geometry.index?.count ?? position.count
  const triangles = geometry.index
    ? Uint32Array.from(geometry.index.array.slice(0, count))
    : Uint32Array.from({ length: count }, (_, k) => k)
  return { positions: Float64Array.from(position.array), triangles }
}

function randomRays(): (readonly [Vec3, Vec3])[] {
  const random = seededRandom(4)
  const between = (a: number, b: number): number => a + (b - a) * random()
  return Array.from({ length: 10_000 }, () => {
    const origin: Vec3 = [between(-60, 60), between(-10, 410), between(-60, 60)]
    const to: Vec3 = [between(-15, 25), between(0, 400), between(-15, 15)]
    const d = [to[0] - origin[0], to[1] - origin[1], to[2] - origin[2]]
    const l = Math.hypot(d[0]!, d[1]!, d[2]!)
    return [origin, [d[0]! / l, d[1]! / l, d[2]! / l]] as const
  })
}
