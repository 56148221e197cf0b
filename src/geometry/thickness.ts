import type { Plane } from './plane.ts'
import { planeBasis } from './plane-basis.ts'
import { firstHit } from './query.ts'
import { type MeshTree, roundingSlack } from './tree.ts'
import { addScaled, dot, sub, type Vec3 } from './vec.ts'

/** Thickness of a removed piece along the normal of its cut, sampled on a square grid in the plane of the cut. */
export interface ThicknessMap {
  /** Where sample (0, 0) lies, mesh frame; sample (i, j) lies at `origin + i·stepMm·u + j·stepMm·v`. */
  readonly origin: Vec3
  readonly u: Vec3
  readonly v: Vec3
  readonly stepMm: number
  readonly columns: number
  readonly rows: number
  /** Row after row, mm; −1 where the cut is not in the piece. */
  readonly thicknessMm: Float32Array
  /** Over the samples in the piece. */
  readonly minMm: number
  readonly meanMm: number
  readonly maxMm: number
  readonly samples: number
}

/**
 * Thickness of a removed piece over its whole cut face: from each sample of the face a ray against the cut's normal
 * to where it first comes out of the piece. `piece` is the piece's closed solid; the plane is the cut's, in the same
 * frame, its normal pointing away from the piece. A piece that nowhere lies on the plane gives no samples and zeros.
 */
export function thicknessMap(piece: MeshTree, plane: Plane, stepMm: number): ThicknessMap {
  const { normal } = plane
  const [u, v] = planeBasis(normal)
  const span = spans(piece, [u, v, normal])
  // Samples stand half a step inside the box, so that edges seen end-on are not counted.
  const columns = Math.max(0, Math.round((span.high[0]! - span.low[0]!) / stepMm))
  const rows = Math.max(0, Math.round((span.high[1]! - span.low[1]!) / stepMm))
  const level = dot(normal, plane.point)
  const corner: Vec3 = addScaled(addScaled([0, 0, 0], u, span.low[0]! + stepMm / 2), v, span.low[1]! + stepMm / 2)
  const origin = addScaled(corner, normal, level)
  const thicknessMm = new Float32Array(columns * rows)
  const against: Vec3 = [-normal[0], -normal[1], -normal[2]]
  let samples = 0
  let sum = 0
  let minMm = Number.POSITIVE_INFINITY
  let maxMm = 0
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const at = addScaled(addScaled(origin, u, i * stepMm), v, j * stepMm)
      const mm = thicknessAt(piece, at, normal, against)
      thicknessMm[j * columns + i] = mm ?? -1
      if (mm === null) continue
      samples++
      sum += mm
      if (mm < minMm) minMm = mm
      if (mm > maxMm) maxMm = mm
    }
  }
  const some = samples > 0
  return {
    origin,
    u,
    v,
    stepMm,
    columns,
    rows,
    thicknessMm,
    minMm: some ? minMm : 0,
    meanMm: some ? sum / samples : 0,
    maxMm,
    samples,
  }
}

/**
 * Thickness of a piece under every vertex of its mesh, mm, for colouring it: the way from the vertex along the cut's
 * normal to where it comes out of the piece; 0 where that way does not lead through the piece at once (undersides,
 * and the cut face itself).
 */
export function thicknessAtVertices(piece: MeshTree, plane: Plane): Float32Array {
  const p = piece.mesh.positions
  const out = new Float32Array(p.length / 3)
  for (let i = 0; i < out.length; i++) {
    const start: Vec3 = [p[3 * i]!, p[3 * i + 1]!, p[3 * i + 2]!]
    const hit = firstHit(piece, addScaled(start, plane.normal, CLEAR_MM), plane.normal)
    out[i] = hit !== null && !hit.entering ? hit.distanceMm + CLEAR_MM : 0
  }
  return out
}

/** How far a ray starts from the face it must not hit, mm. */
const CLEAR_MM = 1e-6

/**
 * Null where the plane is not in the piece: the first thing a ray started just beyond the plane meets must be its
 * face.
 */
function thicknessAt(piece: MeshTree, at: Vec3, normal: Vec3, against: Vec3): number | null {
  const lift = CLEAR_MM + 100 * roundingSlack(piece)
  const face = firstHit(piece, addScaled(at, normal, lift), against)
  if (face === null || !face.entering || face.distanceMm > 2 * lift) return null
  const out = firstHit(piece, addScaled(at, against, lift), against)
  return out === null || out.entering ? null : out.distanceMm + lift
}

function spans(tree: MeshTree, axes: readonly Vec3[]): { low: number[]; high: number[] } {
  const p = tree.mesh.positions
  const low = axes.map(() => Number.POSITIVE_INFINITY)
  const high = axes.map(() => Number.NEGATIVE_INFINITY)
  for (const i of tree.mesh.triangles) {
    const point: Vec3 = [p[3 * i]!, p[3 * i + 1]!, p[3 * i + 2]!]
    axes.forEach((axis, k) => {
      const along = dot(point, axis)
      if (along < low[k]!) low[k] = along
      if (along > high[k]!) high[k] = along
    })
  }
  return tree.mesh.triangles.length === 0 ? { low: axes.map(() => 0), high: axes.map(() => 0) } : { low, high }
}

/** Where a point of the map's plane lies on it: column and row, not rounded. */
export function onMap(map: ThicknessMap, point: Vec3): readonly [number, number] {
  const d = sub(point, map.origin)
  return [dot(d, map.u) / map.stepMm, dot(d, map.v) / map.stepMm]
}
