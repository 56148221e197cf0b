import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from './bone.ts'
import { type BoundaryLoop, boundaryLoops } from './boundary.ts'
import { convexHull } from './convex-hull.ts'
import { matchEdges } from './edge-match.ts'
import { halfSpace, halfSpaceByFullPass } from './half-space.ts'
import { volume } from './measure.ts'
import type { Mesh } from './mesh.ts'
import type { Plane } from './plane.ts'
import { edgesAmong, extended } from './repair/fill-holes.ts'
import { fillLoop } from './repair/fill-loop.ts'
import { convexResection } from './resection.ts'
import { buildTree } from './tree.ts'
import type { Vec3 } from './vec.ts'

/** A volume known to lie within `volumeMm3` ± `boundMm3`. */
export interface BoundedVolume {
  readonly volumeMm3: number
  readonly boundMm3: number
}

/** What stands in for the missing patches of an open surface while its volumes are measured. */
export interface OpenBorders {
  /** The mesh with a patch over every hole: balanced, so that the divergence theorem holds. */
  readonly capped: Mesh
  /** The patches alone. */
  readonly patches: Mesh
  /** Convex hulls of the borders that are not flat. */
  readonly hulls: readonly Mesh[]
}

/**
 * Closes the holes of a welded mesh (mm) for measuring. Missing patches are taken to lie inside the convex hull of
 * their border, as the stand-ins do, so that a volume errs by no more than the hulls' volume on the measured side: next
 * to nothing for a flat truncation. A surface whose faces disagree about the side that is out, or that is not even
 * balanced once its holes are closed, has no volume: `mesh/inconsistent`.
 */
export function openBorders(mesh: Mesh): Result<OpenBorders> {
  const { twin, flippedEdges } = matchEdges(mesh.triangles, mesh.positions.length / 3)
  if (flippedEdges > 0) return noInside()
  const loops = boundaryLoops(mesh, twin)
  const { vertices, triangles } = patchesOver(mesh, loops)
  const capped = extended(mesh, vertices, triangles)
  if (!matchEdges(capped.triangles, capped.positions.length / 3).balanced) return noInside()
  const patches = { positions: capped.positions, triangles: Uint32Array.from(triangles) }
  const hulls = loops.flatMap((loop) => convexHull(loop.vertices.map((v) => vertexOf(mesh, v))) ?? [])
  return ok({ capped, patches, hulls })
}

/** Volume enclosed by an open mesh, mm³, with its bound. */
export function boundedVolume({ capped, hulls }: OpenBorders): BoundedVolume {
  return { volumeMm3: volume(capped), boundMm3: hulls.reduce((sum, hull) => sum + volume(hull), 0) }
}

/**
 * Volume on the removed (negative) side of the plane, mm³, with its bound: the bone's own surface through its tree,
 * the patches one by one. A hole on the kept side adds nothing to the bound.
 */
export function boundedHalfSpace(bone: BoneMesh, { patches, hulls }: OpenBorders, plane: Plane): BoundedVolume {
  const own = halfSpace(bone.tree, plane).volumeMm3
  const added = halfSpaceByFullPass(patches, plane).volumeMm3
  const boundMm3 = hulls.reduce((sum, hull) => sum + Math.max(0, halfSpaceByFullPass(hull, plane).volumeMm3), 0)
  return { volumeMm3: own + added, boundMm3 }
}

/**
 * Bound on the volume that several planes remove within a block (as `convexResection` takes them), mm³: what they
 * remove of the hulls. The volume itself is `convexResection` of the capped mesh.
 */
export function resectionBound({ hulls }: OpenBorders, planes: readonly Plane[], block?: Plane): number {
  return hulls.reduce((sum, hull) => sum + Math.max(0, convexResection(buildTree(hull), planes, block).totalMm3), 0)
}

const noInside = () =>
  fail(
    'mesh/inconsistent',
    'The faces of this open surface disagree about which side is out, so no volume can be given.',
    {
      hint: 'Let the repairs turn the faces and close the holes.',
    },
  )

function patchesOver(mesh: Mesh, loops: readonly BoundaryLoop[]) {
  const vertices: number[] = []
  const triangles: number[] = []
  const isEdge = edgesAmong(mesh, loops)
  for (const loop of loops) {
    const border = loop.vertices.toReversed()
    const patch = fillLoop(mesh.positions, border, isEdge)
    if (patch !== null) {
      for (const v of patch) triangles.push(v)
      continue
    }
    if (border.length < 3) continue
    const centre = (mesh.positions.length + vertices.length) / 3
    vertices.push(...loop.centre)
    border.forEach((v, k) => {
      triangles.push(v, border[(k + 1) % border.length]!, centre)
    })
  }
  return { vertices, triangles }
}

const vertexOf = ({ positions: p }: Mesh, v: number): Vec3 => [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]
