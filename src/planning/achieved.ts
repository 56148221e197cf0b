import type { BoneName, FemurAnatomy, TibiaAnatomy } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import { fitPlane } from '../geometry/fit.ts'
import { corners } from '../geometry/measure.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { offsetPlane, type Plane, signedDistance } from '../geometry/plane.ts'
import { angleBetween, cross, dot, length, scale, sub, toDeg, type Vec3 } from '../geometry/vec.ts'
import { externalRotationOf, femoralAngles, tibialAngles } from './cut-normals.ts'
import { legAxes } from './leg-axes.ts'
import type { Plan, PlannedCut } from './planned.ts'
import type { CutId, SiteId } from './terms.ts'

/** One planned cut against the flat face found where it should be. */
export interface AchievedCut {
  readonly id: CutId
  readonly plane: Plane
  /** Flat area the plane was fitted to, and how flat it is. */
  readonly faceMm2: number
  readonly rmsMm: number
  /** Angle between both planes. */
  readonly tiltDeg: number
  /** Achieved less planned, in the cut's own angles. */
  readonly varusDeg?: number
  readonly valgusDeg?: number
  readonly slopeDeg?: number
  readonly flexionDeg?: number
  readonly externalRotationDeg?: number
  /** Per site of this cut: achieved less planned distance, more taken positive. */
  readonly deeperMm: Readonly<Partial<Record<SiteId, number>>>
}

export interface Achieved {
  readonly cuts: readonly AchievedCut[]
  /** Cuts for which no flat face was found near the plan. */
  readonly missing: readonly CutId[]
}

/**
 * Planned against achieved: on the mesh of a resected bone, in the same frame and unit as the planned one, the flat face near each
 * planned plane is found and its plane fitted. `cut/misses-bone` when none of a bone's cuts is found: then the mesh is
 * another bone, lies in another frame, or was not cut.
 */
export function achievedCuts(
  plan: Plan,
  anatomy: { readonly femur: FemurAnatomy; readonly tibia: TibiaAnatomy },
  bone: BoneName,
  resected: Mesh,
): Result<Achieved> {
  const faces = facesOf(resected)
  const cuts: AchievedCut[] = []
  const missing: CutId[] = []
  for (const cut of plan.cuts) {
    if (cut.bone !== bone || cut.point === null || cut.normal === null) continue
    const planned: Plane = { point: cut.point, normal: cut.normal }
    const found = findFace(faces, planned, bone === 'femur' ? plan.femoralBlock : null, cut.sectionMm2 ?? 0)
    if (found === null) missing.push(cut.id)
    else cuts.push(compared(plan, anatomy, cut, planned, found))
  }
  if (cuts.length === 0)
    return fail('cut/misses-bone', `No flat face was found near the planned cuts of the ${bone}.`, {
      hint: 'The mesh must be the same bone after the cuts, in the same frame and unit as before.',
    })
  return ok({ cuts, missing })
}

/** Faces farther from the planned plane, or tilted more, are not taken for the cut. */
const reachMm = 8
const reachDeg = 15
/** Less than this share of the face as sawn (later cuts may have taken some of it) is no cut. */
const leastShare = 0.1

interface Faces {
  readonly centre: readonly Vec3[]
  readonly normal: readonly Vec3[]
  readonly areaMm2: Float64Array
  readonly mesh: Mesh
}

function facesOf(mesh: Mesh): Faces {
  const n = mesh.triangles.length / 3
  const centre: Vec3[] = []
  const normal: Vec3[] = []
  const areaMm2 = new Float64Array(n)
  for (let t = 0; t < n; t++) {
    const [a, b, c] = corners(mesh, t)
    const doubled = cross(sub(b, a), sub(c, a))
    const l = length(doubled)
    areaMm2[t] = l / 2
    centre.push([(a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3, (a[2] + b[2] + c[2]) / 3])
    normal.push(l > 0 ? scale(doubled, 1 / l) : [0, 0, 0])
  }
  return { centre, normal, areaMm2, mesh }
}

interface FoundFace {
  readonly plane: Plane
  readonly faceMm2: number
  readonly rmsMm: number
}

/** From each offset with much area near the planned plane, narrows in on faces that share one plane; the likeliest wins. */
function findFace(faces: Faces, planned: Plane, within: Plane | null, plannedMm2: number): FoundFace | null {
  const outward = scale(planned.normal, -1)
  const candidates: number[] = []
  for (let t = 0; t < faces.areaMm2.length; t++) {
    if (dot(faces.normal[t]!, outward) < Math.cos((reachDeg * Math.PI) / 180)) continue
    if (within !== null && signedDistance(within, faces.centre[t]!) < 0) continue
    if (Math.abs(signedDistance(planned, faces.centre[t]!)) <= reachMm) candidates.push(t)
  }
  let best: FoundFace | null = null
  for (const offset of startingOffsets(faces, candidates, planned)) {
    const found = narrowed(faces, candidates, offsetPlane(planned, offset))
    if (found !== null && (best === null || likeness(found, planned) > likeness(best, planned))) best = found
  }
  return best !== null && best.faceMm2 >= leastShare * plannedMm2 ? best : null
}

/** A sawn face is large, flatter than grown bone and near the planned direction. */
function likeness({ plane, faceMm2, rmsMm }: FoundFace, planned: Plane): number {
  const tiltDeg = toDeg(angleBetween(plane.normal, planned.normal))
  return faceMm2 / ((0.02 + rmsMm) * (1 + (tiltDeg / 5) ** 2))
}

function narrowed(faces: Faces, candidates: readonly number[], start: Plane): FoundFace | null {
  let fit: FoundFace | null = null
  let plane = start
  for (const [mm, deg] of narrowing) {
    const near = candidates.filter(
      (t) =>
        Math.abs(signedDistance(plane, faces.centre[t]!)) <= mm &&
        dot(faces.normal[t]!, plane.normal) <= -Math.cos((deg * Math.PI) / 180),
    )
    fit = fitFaces(faces, near, start.normal)
    if (fit === null) return null
    plane = fit.plane
  }
  return fit
}

/** Distance and angle within which faces count, step by step. */
const narrowing = [
  [1.5, 8],
  [1, 6],
  [0.5, 4],
  [0.3, 3],
  [0.3, 3],
] as const

/** Offsets from the planned plane (0.5 mm bins) about which most area lies, at most six, and the plan itself. */
function startingOffsets(faces: Faces, candidates: readonly number[], planned: Plane): readonly number[] {
  const bins = new Float64Array(4 * reachMm + 1)
  for (const t of candidates) {
    const bin = Math.round((signedDistance(planned, faces.centre[t]!) + reachMm) * 2)
    bins[bin]! += faces.areaMm2[t]!
  }
  const most = [...bins.keys()]
    .filter((i) => bins[i]! > 0)
    .sort((i, j) => bins[j]! - bins[i]!)
    .slice(0, 6)
    .map((i) => i / 2 - reachMm)
  return [0, ...most]
}

function fitFaces(faces: Faces, triangles: readonly number[], towards: Vec3): FoundFace | null {
  if (triangles.length < 3) return null
  const points = triangles.map((t) => faces.centre[t]!)
  const weights = Float64Array.from(triangles, (t) => faces.areaMm2[t]!)
  const fit = fitPlane(points, weights)
  if (!fit.ok) return null
  const { point, normal, rmsMm } = fit.value
  const kept = dot(normal, towards) < 0 ? scale(normal, -1) : normal
  return { plane: { point, normal: kept }, rmsMm, faceMm2: weights.reduce((sum, a) => sum + a, 0) }
}

function compared(
  plan: Plan,
  { femur, tibia }: { readonly femur: FemurAnatomy; readonly tibia: TibiaAnatomy },
  cut: PlannedCut,
  planned: Plane,
  found: FoundFace,
): AchievedCut {
  const ofCut = plan.sites.filter((site) => site.id.startsWith(cut.id))
  const deeperMm = Object.fromEntries(
    ofCut.map((site) => [site.id, signedDistance(planned, site.point) - signedDistance(found.plane, site.point)]),
  )
  const base = { id: cut.id, ...found, tiltDeg: toDeg(angleBetween(planned.normal, found.plane.normal)), deeperMm }
  if (cut.id === 'tibia') {
    const axes = legAxes(tibia.frame, tibia.side)
    const [a, b] = [tibialAngles(axes, found.plane.normal), tibialAngles(axes, planned.normal)]
    return { ...base, varusDeg: a.varusDeg - b.varusDeg, slopeDeg: a.slopeDeg - b.slopeDeg }
  }
  const axes = legAxes(femur.frame, femur.side)
  if (cut.id === 'femur-distal') {
    const [a, b] = [femoralAngles(axes, found.plane.normal), femoralAngles(axes, planned.normal)]
    return { ...base, valgusDeg: a.valgusDeg - b.valgusDeg, flexionDeg: a.flexionDeg - b.flexionDeg }
  }
  const [m, l] = [femur.landmarks.condylePosteriorMedial?.mm, femur.landmarks.condylePosteriorLateral?.mm]
  if (cut.id === 'femur-posterior' && m && l) {
    const line = sub(l, m)
    const turn = externalRotationOf(axes, line, found.plane.normal) - externalRotationOf(axes, line, planned.normal)
    return { ...base, externalRotationDeg: turn }
  }
  return base
}
