import type { BoneMesh } from '../geometry/bone.ts'
import { boundaryLoops } from '../geometry/boundary.ts'
import { isInHull } from '../geometry/bounded-bone.ts'
import { matchEdges } from '../geometry/edge-match.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { add, addScaled, cross, dot, length, scale, sub, toRad, unit, type Vec3 } from '../geometry/vec.ts'
import type { CutFace } from './cut-face.ts'
import { surfaceMoments } from './profile.ts'

/** A border this long is the end of a scan and no hole, mm. */
const leastBorderMm = 60
/** How far an end may be ragged from tip to root, as a share of the diameter of a circle as large as it; and on a part longer than wide. */
const mostRagged = { short: 1, long: 2.5 } as const
/**
 * On a part longer than wide, a border ragged by this standard deviation, mm, whose area faces this far away from where the end lies,
 * deg, runs askew along long triangles. (Seven real bones broken off straight at 90…230 mm: the end lies within 15° of the bone's
 * direction, the area of the border faced up to 60° off.) Longer than wide: the end lies near the surface's own long axis, deg.
 */
const askew = { raggedMm: 1, deg: 15, longWithinDeg: 40 } as const
/** An end has no bone beyond it, but for this share of the vertices. */
const mostBeyond = 0.01

/**
 * The end of a scan that was left open, with whatever ragged edge (mm, frame of the mesh): the largest of the surface's borders, or of the
 * places where stand-in patches close them, that has the whole bone on one side. Its direction is that of the area the border
 * encloses, or where it runs askew from the middle of the surface to its own; its plane lies one standard deviation of the ragged edge inside its middle. Null for a closed surface and where no border is such an end.
 */
export function openEnd(surface: BoneMesh): CutFace | null {
  if (surface.closed) return null
  const borders = surface.missing ? bordersUnderPatches(surface) : openBorders(surface.mesh)
  const ends = borders.flatMap((border) => endAt(surface.mesh, border) ?? [])
  return ends.reduce<CutFace | null>((best, end) => (best && best.areaMm2 >= end.areaMm2 ? best : end), null)
}

/** Points of a border, and the area it encloses as a vector, in either sense, mm². */
interface Border {
  readonly points: readonly Vec3[]
  readonly area: Vec3
}

function openBorders(mesh: Mesh): Border[] {
  const { twin } = matchEdges(mesh.triangles, mesh.positions.length / 3)
  return boundaryLoops(mesh, twin).map(({ vertices }) => {
    const points = vertices.map((v) => cornerAt(mesh, v))
    const first = points[0]!
    const area = points.reduce<Vec3>(
      (sum, p, i) => addScaled(sum, cross(sub(p, first), sub(points[(i + 1) % points.length]!, first)), 0.5),
      [0, 0, 0],
    )
    return { points, area }
  })
}

/** Of borders that are not flat: what triangles between their corners enclose. A flat one's patch is found as a flat face. */
function bordersUnderPatches({ mesh, missing }: BoneMesh): Border[] {
  return (missing?.hulls ?? []).map(({ mesh: hull }) => {
    const inside = new Uint8Array(mesh.positions.length / 3)
    for (let v = 0; v < inside.length; v++) inside[v] = isInHull(hull, cornerAt(mesh, v)) ? 1 : 0
    let area: Vec3 = [0, 0, 0]
    for (let t = 0; t < mesh.triangles.length; t += 3) {
      const [i, j, k] = [mesh.triangles[t]!, mesh.triangles[t + 1]!, mesh.triangles[t + 2]!]
      if (!(inside[i] && inside[j] && inside[k])) continue
      const a = cornerAt(mesh, i)
      area = addScaled(area, cross(sub(cornerAt(mesh, j), a), sub(cornerAt(mesh, k), a)), 0.5)
    }
    return { points: Array.from({ length: hull.positions.length / 3 }, (_, v) => cornerAt(hull, v)), area }
  })
}

const cornerAt = ({ positions: p }: Mesh, v: number): Vec3 => [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]

function endAt(mesh: Mesh, { points, area }: Border): CutFace | null {
  const areaMm2 = length(area)
  if (2 * Math.sqrt(Math.PI * areaMm2) < leastBorderMm) return null
  const point = scale(points.reduce(add, [0, 0, 0]), 1 / points.length)
  const { centroid, axes } = surfaceMoments(mesh)
  const outward = sub(point, centroid)
  const facing = scale(area, (dot(area, outward) >= 0 ? 1 : -1) / areaMm2)
  const heightsAlong = (direction: Vec3) => points.map((p) => dot(sub(p, point), direction))
  const along = unit(outward)
  const isLong = Math.abs(dot(along, axes[0])) > Math.cos(toRad(askew.longWithinDeg))
  const isAskew = dot(along, facing) < Math.cos(toRad(askew.deg)) && spread(heightsAlong(facing)) > askew.raggedMm
  const normal = isLong && isAskew ? along : facing
  const heights = heightsAlong(normal)
  const outermost = heights.reduce((most, h) => Math.max(most, h), Number.NEGATIVE_INFINITY)
  const innermost = heights.reduce((least, h) => Math.min(least, h), Number.POSITIVE_INFINITY)
  if (outermost - innermost > (isLong ? mostRagged.long : mostRagged.short) * 2 * Math.sqrt(areaMm2 / Math.PI))
    return null
  const level = dot(point, normal) + outermost + 1
  const beyond = mesh.triangles.reduce((sum, v) => sum + (dot(cornerAt(mesh, v), normal) > level ? 1 : 0), 0)
  if (beyond > mostBeyond * mesh.triangles.length) return null
  const raggedMm = spread(heights)
  return { point: addScaled(point, normal, -raggedMm), normal, areaMm2, raggedMm }
}

/** Standard deviation of heights over their middle. */
const spread = (heights: readonly number[]): number =>
  Math.sqrt(heights.reduce((sum, h) => sum + h * h, 0) / heights.length)
