import type { BoneMesh } from '../geometry/bone.ts'
import { eigenSymmetric3, scatter } from '../geometry/fit.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { Plane } from '../geometry/plane.ts'
import { section } from '../geometry/section.ts'
import { writeAreaNormal } from '../geometry/triangle.ts'
import { addScaled, distance, dot, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { openEnd } from './open-end.ts'
import { surfaceMoments } from './profile.ts'

/** The plane in which a scan ended: its normal points out of the bone. */
export interface CutFace extends Plane {
  readonly areaMm2: number
  /** Standard deviation of an open border off its plane, mm; 0 for a flat face. */
  readonly raggedMm: number
}

/** A flat face belongs to a scan's end from this share of the surface. */
const leastShare = 0.01
/** How nearly the faces of a scan's end face along its normal and lie in its plane: as cut, and under more and more surface noise. */
const flatness = [
  { facingDeg: 4, nearMm: 0.4, aroundMm: 0 },
  { facingDeg: 12, nearMm: 0.6, aroundMm: 6 },
  { facingDeg: 30, nearMm: 1, aroundMm: 6 },
] as const
type Flatness = (typeof flatness)[number]
/** A scan's end has no bone beyond it, but for this share of the vertices. */
const mostBeyond = 0.004

/**
 * The flat face that closes a truncated bone, or the plane of the border where it is left open (mm, frame of the mesh). `surface` is
 * the bone before its holes were bridged. Null when nothing of that size is flat, and no border is an end.
 */
export function cutFace(mesh: Mesh, surface: BoneMesh): CutFace | null {
  const moments = surfaceMoments(mesh)
  if (!(moments.areaMm2 > 0)) return null
  const outward = (normal: Vec3, point: Vec3): Vec3 =>
    dot(normal, sub(point, moments.centroid)) >= 0 ? normal : scale(normal, -1)
  const [asCut, underNoise, underMuchNoise] = flatness
  const anywhere = { towards: null, samples: 4000, leastMm2: leastShare * moments.areaMm2 }
  const flatWithin = (level: Flatness): CutFace | null => {
    const face = largestFlatFace(mesh, level, anywhere)
    if (surface.mesh === mesh) return face
    // What calms a surface rounds the edge of a flat face.
    const uncalmed = largestFlatFace(surface.mesh, level, anywhere)
    return (uncalmed?.areaMm2 ?? 0) > (face?.areaMm2 ?? 0) ? uncalmed : face
  }
  const closed = flatWithin(asCut)
  const open = openEnd(surface)
  // A few facets of a joint may be flat by chance.
  const asEnded = closed && open ? (closed.areaMm2 > open.areaMm2 ? closed : open) : (closed ?? open)
  const flat = asEnded ?? flatWithin(underNoise) ?? flatWithin(underMuchNoise)
  return flat === null ? null : { ...flat, normal: outward(flat.normal, flat.point) }
}

/** The largest flat face within 45° of a direction that has the whole of a surface on one side, as it was cut (mm); null where there is none. */
export const largestFlatEnd = (mesh: Mesh, towards: Vec3): CutFace | null =>
  largestFlatFace(mesh, flatness[0], { towards, samples: 1200, leastMm2: 0 })

/** How large a face is beside the section of the bone so far behind it, mm: about 1 for a scan's end, less where a surface is flat at its tip. */
export function shareOfSection(bone: BoneMesh, { point, normal, areaMm2 }: CutFace, behindMm: number): number {
  const inward = dot(normal, sub(bone.centroid, point)) >= 0 ? normal : scale(normal, -1)
  const behind = section(bone.tree, { point: addScaled(point, inward, behindMm), normal: inward }).areaMm2
  return areaMm2 / Math.abs(behind)
}

interface Sample {
  readonly centres: readonly Vec3[]
  readonly normals: readonly Vec3[]
  readonly areas: readonly number[]
}

interface Faces extends Sample {
  readonly corners: (face: number) => readonly [Vec3, Vec3, Vec3]
}

/** Where planes are tried: at so many samples of equal area, of the faces within 45° of `towards` alone where it is given. */
interface Tried {
  readonly samples: number
  readonly towards: Vec3 | null
  /** A smaller face is none. */
  readonly leastMm2: number
}

function largestFlatFace(mesh: Mesh, flat: Flatness, { samples, towards, leastMm2 }: Tried): CutFace | null {
  const all = facesOf(mesh, towards)
  const sample = byArea(all, samples)
  const stride = Math.max(1, Math.floor((8 * sample.areas.length) / samples))
  const candidates: { plane: Plane; area: number }[] = []
  for (let k = 0; k < sample.areas.length; k += stride) {
    const plane = planeAbout(sample, k, flat.aroundMm)
    candidates.push({ plane, area: members(sample, plane, flat).reduce((sum, i) => sum + sample.areas[i]!, 0) })
  }
  candidates.sort((p, q) => q.area - p.area)
  // The flat flank of a shaft has the bone on one side too, but is a long strip.
  const strips: Vec3[] = []
  let tried = 0
  for (const { plane } of candidates) {
    if (strips.some((normal) => Math.abs(dot(normal, plane.normal)) > besideStrip)) continue
    if (!endsSample(sample, plane)) continue
    if (tried++ === mostTried) return null
    if (!isEnd(mesh, plane)) continue
    const face = settledFace(all, plane, flat)
    if (face.areaMm2 <= leastMm2) return null
    if (face.elongation < mostElongated) return { ...face.plane, areaMm2: face.areaMm2, raggedMm: 0 }
    strips.push(face.plane.normal)
  }
  return null
}

/** So many planes are tried, the largest first. */
const mostTried = 60
/** Candidates that face as a strip does within 18° are that strip. */
const besideStrip = 0.95
/** A section of a shaft, cut obliquely, is up to so many times longer than wide. */
const mostElongated = 2.6

interface SettledFace {
  readonly plane: Plane
  readonly areaMm2: number
  /** Length over width, by the second moments of the corners. */
  readonly elongation: number
}

/** The plane of a flat face refitted to its members by area until it stays. */
function settledFace(all: Faces, first: Plane, flat: Flatness): SettledFace {
  let plane = first
  let areaMm2 = 0
  let inside: readonly number[] = []
  for (let round = 0; round < 12; round++) {
    inside = members(all, plane, flat)
    areaMm2 = inside.reduce((sum, i) => sum + all.areas[i]!, 0)
    const { centroid, covariance } = scatter(
      inside.map((i) => all.centres[i]!),
      inside.map((i) => all.areas[i]!),
    )
    const { vectors } = eigenSymmetric3(covariance)
    const normal = dot(vectors[0], plane.normal) >= 0 ? vectors[0] : scale(vectors[0], -1)
    const turned = Math.hypot(...sub(normal, plane.normal))
    plane = { point: centroid, normal }
    if (turned < 1e-12) break
  }
  return { plane, areaMm2, elongation: elongationOf(all, inside) }
}

/** Of the members' area itself: long slivers of a cap have their centres in its middle. */
function elongationOf({ corners, areas, centres }: Faces, inside: readonly number[]): number {
  const points: Vec3[] = []
  const weights: number[] = []
  for (const i of inside) {
    // A triangle has the second moments of these four points, whatever they are taken about.
    points.push(centres[i]!, ...corners(i))
    weights.push(0.75 * areas[i]!, areas[i]! / 12, areas[i]! / 12, areas[i]! / 12)
  }
  const { values } = eigenSymmetric3(scatter(points, weights).covariance)
  return Math.sqrt(values[2] / Math.max(values[1], 1e-9))
}

/** The plane of one face, or the mean of those about it whose normal does not tell how noise tilted one of them. */
function planeAbout({ centres, normals, areas }: Sample, k: number, aroundMm: number): Plane {
  const own = { point: centres[k]!, normal: normals[k]! }
  if (aroundMm === 0) return own
  let sum: Vec3 = [0, 0, 0]
  let place: Vec3 = [0, 0, 0]
  let weight = 0
  for (let i = 0; i < centres.length; i++) {
    if (distance(centres[i]!, own.point) > aroundMm || dot(normals[i]!, own.normal) < 0.5) continue
    sum = addScaled(sum, normals[i]!, areas[i]!)
    place = addScaled(place, centres[i]!, areas[i]!)
    weight += areas[i]!
  }
  return { point: scale(place, 1 / weight), normal: unit(sum) }
}

/** Whether the whole surface lies on one side of a plane, but for a little. */
function isEnd(mesh: Mesh, { point, normal }: Plane): boolean {
  const p = mesh.positions
  let before = 0
  let beyond = 0
  for (let i = 0; i < p.length; i += 3) {
    const d = (p[i]! - point[0]) * normal[0] + (p[i + 1]! - point[1]) * normal[1] + (p[i + 2]! - point[2]) * normal[2]
    if (d > 1) beyond++
    else if (d < -1) before++
  }
  return Math.min(before, beyond) <= (mostBeyond * p.length) / 3
}

/** The same of a sample's faces, with room for what a sample misses. */
function endsSample({ centres }: Sample, { point, normal }: Plane): boolean {
  let before = 0
  let beyond = 0
  const level = dot(point, normal)
  for (let i = 0; i < centres.length; i++) {
    const d = dot(centres[i]!, normal) - level
    if (d > 1) beyond++
    else if (d < -1) before++
  }
  return Math.min(before, beyond) <= 5 * mostBeyond * centres.length
}

/** Numbers of the faces that lie in a plane and face along its normal, whichever way they are wound. */
function members({ centres, normals }: Sample, { point, normal }: Plane, { facingDeg, nearMm }: Flatness): number[] {
  const facing = Math.cos((facingDeg * Math.PI) / 180)
  const out: number[] = []
  for (let i = 0; i < centres.length; i++)
    if (Math.abs(dot(normals[i]!, normal)) > facing && Math.abs(dot(sub(centres[i]!, point), normal)) < nearMm)
      out.push(i)
  return out
}

/**
 * Up to about `count` faces of equal area each, the large ones several times: a scan may be closed by few long triangles, which a
 * sample by number would miss.
 */
function byArea(faces: Faces, count: number): Sample {
  const { centres, normals, areas } = faces
  if (areas.length <= count) return faces
  const share = areas.reduce((sum, area) => sum + area, 0) / count
  const picked: number[] = []
  let due = share / 2
  let sum = 0
  for (let i = 0; i < areas.length; i++) {
    sum += areas[i]!
    for (; due < sum; due += share) picked.push(i)
  }
  return {
    centres: picked.map((i) => centres[i]!),
    normals: picked.map((i) => normals[i]!),
    areas: picked.map(() => share),
  }
}

/** Faces of a mesh; only those that face along a direction within 45°, whichever way they are wound, where one is given. */
function facesOf(mesh: Mesh, towards: Vec3 | null): Faces {
  const { positions: p, triangles } = mesh
  const centres: Vec3[] = []
  const normals: Vec3[] = []
  const areas: number[] = []
  const firsts: number[] = []
  const at = (corner: number): Vec3 => {
    const v = 3 * triangles[corner]!
    return [p[v]!, p[v + 1]!, p[v + 2]!]
  }
  const n = new Float64Array(3)
  const [tx, ty, tz] = towards ?? [0, 0, 0]
  const least = towards === null ? 0 : Math.SQRT1_2
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]!
    const b = 3 * triangles[t + 1]!
    const c = 3 * triangles[t + 2]!
    writeAreaNormal(p, a, b, c, n)
    const nx = n[0]!
    const ny = n[1]!
    const nz = n[2]!
    const twice = Math.sqrt(nx * nx + ny * ny + nz * nz)
    if (!(twice > 0)) continue
    if (Math.abs(nx * tx + ny * ty + nz * tz) < least * twice) continue
    centres.push([
      (p[a]! + p[b]! + p[c]!) / 3,
      (p[a + 1]! + p[b + 1]! + p[c + 1]!) / 3,
      (p[a + 2]! + p[b + 2]! + p[c + 2]!) / 3,
    ])
    normals.push([nx / twice, ny / twice, nz / twice])
    areas.push(twice / 2)
    firsts.push(t)
  }
  return { centres, normals, areas, corners: (i) => [at(firsts[i]!), at(firsts[i]! + 1), at(firsts[i]! + 2)] }
}
