import { fail, ok, type Result, type Warning } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { firstHit } from '../geometry/query.ts'
import { addScaled, dot, reject, scale, unit, type Vec3 } from '../geometry/vec.ts'
import { toleranceMm } from './bookkeeping.ts'
import { condyleSupport } from './condyles.ts'
import { femoralDistalNormal, femoralPosteriorNormal, tibialNormal } from './cut-normals.ts'
import { legAxes } from './leg-axes.ts'
import type { PlanInput } from './plan.ts'
import type { Plan, Site } from './planned.ts'
import { type FitReading, fitPlaneToReadings } from './reading-fit.ts'
import type { EdgeReadingId, PieceReadings, SiteId } from './terms.ts'

/** One value recovered from readings, with 1 SD from the readings' own; null sd where it is not observable. */
export interface Recovered {
  readonly achieved: number
  readonly planned: number
  readonly sd: number
}

/** What the readings of one cut say. */
export interface MeasuredCut {
  readonly id: 'tibia' | 'femur-distal' | 'femur-posterior'
  /** Distance of the achieved plane from the planned one midway between the sites, deeper positive. */
  readonly deeperMm: number
  readonly deeperSdMm: number
  /** Tibia varus, femur distal valgus, femur posterior external rotation, degrees; null with one side read only. */
  readonly tilt: Recovered | null
  /** Tibia slope, femur distal flexion, degrees; null unless a front and a back reading are given. */
  readonly pitch: Recovered | null
  /** Angles these readings cannot see, and the tilt that 1° of each would feign. */
  readonly notObservable: readonly { readonly angle: string; readonly feignedTiltDegPerDeg?: number }[]
  /** Per site read: achieved total less component, mm. */
  readonly differenceMm: Readonly<Partial<Record<SiteId, number>>>
  /** Per site read: what a recut to the plan still has to take; negative is too much taken already. */
  readonly recutMm: Readonly<Partial<Record<SiteId, number>>>
  readonly verdict: 'nothing to do' | 'recut' | 'too much taken'
  /** The achieved plane in the bone's patient frame, unobservable angles as planned. */
  readonly plane: Plane
}

export interface MeasuredPieces {
  readonly sdMm: number
  readonly cuts: readonly MeasuredCut[]
}

/**
 * Where the cuts went, from the thickness measured on the pieces (mm, at the plan's sites): per cut depth and the tilt that two
 * sides can see, with the readings' uncertainty carried along; slope and flexion only from a front and a back reading.
 * Null without readings. A reading outside the bone's reach: `case/out-of-range`.
 */
export function measuredPieces(input: PlanInput, plan: Plan, readings: PieceReadings): Result<MeasuredPieces | null> {
  const entered = Object.values(readings.pieceMm)
  if (entered.length === 0) return ok(null)
  if (!(readings.sdMm > 0) || entered.some((mm) => !(mm >= 0 && mm <= 60)))
    return fail('case/out-of-range', 'A measured thickness must be 0 to 60 mm and its uncertainty above 0.', {
      place: 'measured.pieceMm',
    })
  const cuts: MeasuredCut[] = []
  for (const model of cutModels(input, plan)) {
    const cut = measureCut(model, plan, readings)
    if (cut) cuts.push(cut)
  }
  return ok({ sdMm: readings.sdMm, cuts })
}

/** A warning for every angle the readings cannot see. */
export function unobservable(pieces: MeasuredPieces): readonly Warning[] {
  return pieces.cuts
    .filter((cut) => cut.notObservable.length > 0)
    .map((cut) => ({
      code: 'measured/not-observable',
      message: `${cut.id}: ${cut.notObservable.map((n) => n.angle).join(' and ')} not observable from these readings.`,
      spoils: [
        ...(cut.tilt === null ? [`measured.cuts.${cut.id}.tilt`] : []),
        ...(cut.pitch === null ? [`measured.cuts.${cut.id}.pitch`] : []),
      ],
    }))
}

/** How readings of one cut arise from its plane. */
interface CutModel {
  readonly id: MeasuredCut['id']
  readonly planned: Plane
  readonly tiltDeg: number
  readonly pitchDeg: number | null
  readonly pitchName: string
  readonly normalAt: (tiltDeg: number, pitchDeg: number) => Vec3
  readonly sites: readonly SiteId[]
  readonly edges: readonly EdgeReadingId[]
  readonly pointAt: (id: SiteId | EdgeReadingId, normal: Vec3) => Vec3 | null
}

function cutModels(input: PlanInput, plan: Plan): readonly CutModel[] {
  const { femur, tibia, femurBone, tibiaBone } = input
  const tibial = legAxes(tibia.frame, tibia.side)
  const femoral = legAxes(femur.frame, femur.side)
  const support = condyleSupport(femur, femurBone, femoral)
  const cut = (id: string) => plan.cuts.find((c) => c.id === id)
  const [horizontal, distal, posterior] = [cut('tibia'), cut('femur-distal'), cut('femur-posterior')]
  const models: CutModel[] = []
  const planeOf = (c: ReturnType<typeof cut>): Plane | null =>
    c?.point && c.normal ? { point: c.point, normal: c.normal } : null
  const tibialPlane = planeOf(horizontal)
  if (tibialPlane)
    models.push({
      id: 'tibia',
      planned: tibialPlane,
      tiltDeg: horizontal?.varusDeg ?? 0,
      pitchDeg: horizontal?.slopeDeg ?? 0,
      pitchName: 'slope',
      normalAt: (tilt, pitch) => tibialNormal(tibial, tilt, pitch),
      sites: ['tibia-medial', 'tibia-lateral'],
      edges: ['tibia-front', 'tibia-back'],
      pointAt: (id) => {
        if (id === 'tibia-medial') return tibia.medial.point
        if (id === 'tibia-lateral') return tibia.lateral.point
        const ahead = id === 'tibia-front' ? edgeReachMm : -edgeReachMm
        return surfaceBeside(tibiaBone, tibia.medial.point, scale(tibial.anterior, ahead), scale(tibial.proximal, -1))
      },
    })
  const distalPlane = planeOf(distal)
  if (distalPlane)
    models.push({
      id: 'femur-distal',
      planned: distalPlane,
      tiltDeg: distal?.valgusDeg ?? 0,
      pitchDeg: distal?.flexionDeg ?? 0,
      pitchName: 'flexion',
      normalAt: (tilt, pitch) => femoralDistalNormal(femoral, tilt, pitch),
      sites: ['femur-distal-medial', 'femur-distal-lateral'],
      edges: ['femur-distal-front', 'femur-distal-back'],
      pointAt: (id, normal) => {
        if (id === 'femur-distal-medial') return support('medial', normal)
        if (id === 'femur-distal-lateral') return support('lateral', normal)
        const middle = plan.sites.find((s) => s.id === 'femur-distal-medial')?.point
        const ahead = id === 'femur-distal-front' ? edgeReachMm : -edgeReachMm
        return middle ? surfaceBeside(femurBone, middle, scale(femoral.anterior, ahead), femoral.proximal) : null
      },
    })
  const posteriorPlane = planeOf(posterior)
  const [m, l] = [femur.landmarks.condylePosteriorMedial?.mm, femur.landmarks.condylePosteriorLateral?.mm]
  if (posteriorPlane && distalPlane && m && l) {
    const line: Vec3 = [l[0] - m[0], l[1] - m[1], l[2] - m[2]]
    const squareTo = unit(reject(distalPlane.normal, posteriorPlane.normal))
    models.push({
      id: 'femur-posterior',
      planned: posteriorPlane,
      tiltDeg: posterior?.externalRotationDeg ?? 0,
      pitchDeg: null,
      pitchName: 'flexion of the posterior cut',
      // A posterior cut may depart from square to the distal one; its own pitch stays as planned.
      normalAt: (tilt) => femoralPosteriorNormal(femoral, line, squareTo, tilt),
      sites: ['femur-posterior-medial', 'femur-posterior-lateral'],
      edges: [],
      pointAt: (id, normal) =>
        id === 'femur-posterior-medial' ? support('medial', normal) : support('lateral', normal),
    })
  }
  return models
}

/** Front and back readings are taken this far ahead of and behind the medial site, mm. */
export const edgeReachMm = 12

/** The surface point met along `towards` over the place beside `middle`. */
function surfaceBeside(bone: BoneMesh, middle: Vec3, beside: Vec3, towards: Vec3): Vec3 | null {
  const from = addScaled([middle[0] + beside[0], middle[1] + beside[1], middle[2] + beside[2]], towards, -60)
  return firstHit(bone.tree, from, towards)?.point ?? null
}

function measureCut(model: CutModel, plan: Plan, { pieceMm, sdMm }: PieceReadings): MeasuredCut | null {
  const readings = [...model.sites, ...model.edges].flatMap((id): (FitReading & { readonly id: string })[] => {
    const piece = pieceMm[id]
    if (piece === undefined) return []
    const stock = stockOf(plan, model, id)
    return stock === null
      ? []
      : [{ id, distanceMm: piece - stock.pieceLessDistance, pointAt: (normal) => model.pointAt(id, normal) }]
  })
  const sitesRead = model.sites.filter((id) => pieceMm[id] !== undefined)
  if (sitesRead.length === 0) return null
  const edgesRead = model.edges.filter((id) => pieceMm[id] !== undefined)
  const tiltFree = sitesRead.length === 2
  const pitchFree = model.pitchDeg !== null && edgesRead.length === 2
  const start = { tiltDeg: model.tiltDeg, pitchDeg: model.pitchDeg ?? 0 }
  const fit = fitPlaneToReadings(model, readings, start, { tilt: tiltFree, pitch: pitchFree }, sdMm)
  if (fit === null) return null

  const achieved = (site: Site) => fit.offsetMm - dot(fit.normal, model.pointAt(site.id, fit.normal) ?? site.point)
  const read = plan.sites.filter((site) => sitesRead.includes(site.id))
  const more = (site: Site) => achieved(site) - site.distanceMm
  const recut = read.map((site) => [site.id, 0 - more(site)] as const)
  const most = Math.max(...recut.map(([, mm]) => mm))
  const least = Math.min(...recut.map(([, mm]) => mm))
  const plane: Plane = { normal: fit.normal, point: foot(model.planned.point, fit.normal, fit.offsetMm) }
  return {
    id: model.id,
    deeperMm: read.reduce((sum, site) => sum + more(site), 0) / read.length,
    deeperSdMm: sdMm / Math.sqrt(read.length),
    tilt: tiltFree ? { achieved: fit.tiltDeg, planned: model.tiltDeg, sd: fit.tiltSdDeg } : null,
    pitch: pitchFree ? { achieved: fit.pitchDeg, planned: model.pitchDeg ?? 0, sd: fit.pitchSdDeg } : null,
    notObservable: [
      ...(pitchFree
        ? []
        : [{ angle: model.pitchName, ...(tiltFree ? { feignedTiltDegPerDeg: fit.feignedTiltDegPerDeg } : {}) }]),
      ...(tiltFree ? [] : [{ angle: tiltNames[model.id] }]),
    ],
    differenceMm: Object.fromEntries(read.map((site) => [site.id, site.differenceMm + more(site)])),
    recutMm: Object.fromEntries(recut),
    verdict:
      most <= toleranceMm && least >= -toleranceMm
        ? 'nothing to do'
        : least < -toleranceMm
          ? 'too much taken'
          : 'recut',
    plane,
  }
}

const tiltNames: Record<MeasuredCut['id'], string> = {
  tibia: 'varus',
  'femur-distal': 'valgus',
  'femur-posterior': 'rotation',
}

/** What lies between a piece's thickness and the distance to the plane: cartilage left on it less the kerf. */
function stockOf(
  plan: Plan,
  model: CutModel,
  id: SiteId | EdgeReadingId,
): { readonly pieceLessDistance: number } | null {
  const like = plan.sites.find((site) => site.id === (model.sites as readonly string[]).find((s) => s === id))
  const site = like ?? plan.sites.find((s) => s.id === model.sites[0])
  return site ? { pieceLessDistance: site.pieceMm - site.distanceMm } : null
}

const foot = (p: Vec3, normal: Vec3, offset: number): Vec3 =>
  addScaled(p, normal, -signedDistance({ point: scale(normal, offset), normal }, p))
