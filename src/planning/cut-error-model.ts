import { displacedKnee, type ErrorSource } from '../anatomy/error-sources.ts'
import type { References } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import { add, dot, reject, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { partialFamily, sizeOf, totalFamily } from '../implants/families.ts'
import { measureFemoral, measurePartial, measureTibial } from '../implants/measured.ts'
import { condyleSupport } from './condyles.ts'
import {
  externalRotationOf,
  femoralAngles,
  femoralDistalNormal,
  femoralPosteriorNormal,
  tibialAngles,
  tibialNormal,
} from './cut-normals.ts'
import { layCuts } from './lay.ts'
import { legAxes } from './leg-axes.ts'
import { judgedLimits } from './limits.ts'
import { layPartialCuts } from './partial-cuts.ts'
import type { PlanInput } from './plan.ts'
import type { Plan, Site } from './planned.ts'
import type { CutId } from './terms.ts'

/**
 * Parameters of the cuts: tibia varus, slope, depth; femur valgus, flexion, distal depth; rotation, posterior depth. Depths count
 * along the normal from the middle of the cut's sites, into the bone positive.
 */
export type CutParameters = readonly number[]
export const isDepth = (k: number): boolean => k === 2 || k === 5 || k === 7

/** What the error study needs of a plan. */
export interface CutErrorModel {
  readonly planned: CutParameters
  readonly parameters: (input: PlanInput) => Result<CutParameters>
  readonly evaluate: (at: CutParameters) => {
    /** Of the limits whose number is known, in the plan's order. */
    readonly limits: readonly number[]
    readonly differencesMm: readonly number[]
  }
}

/** The plan's parameters, how they follow a displaced anatomy, and what limits and sites say at others. */
export function cutErrorModel(input: PlanInput, plan: Plan): Result<CutErrorModel> {
  const { femur, tibia, femurBone } = input
  const tibial = legAxes(tibia.frame, tibia.side)
  const femoral = legAxes(femur.frame, femur.side)
  const [m, l] = [femur.landmarks.condylePosteriorMedial?.mm, femur.landmarks.condylePosteriorLateral?.mm]
  if (!(m && l)) return fail('landmark/missing', 'The femoral cuts need both posterior condyle points.')
  const line: Vec3 = [l[0] - m[0], l[1] - m[1], l[2] - m[2]]
  const support = condyleSupport(femur, femurBone, femoral)
  const groups = ['tibia', 'femur-distal', 'femur-posterior'].map((prefix) =>
    plan.sites.filter((site) => site.id.startsWith(prefix)),
  )
  const middle = (sites: readonly Site[]): Vec3 => {
    const n = sites.length
    return sites.reduce<Vec3>(
      (p, s) => [p[0] + s.point[0] / n, p[1] + s.point[1] / n, p[2] + s.point[2] / n],
      [0, 0, 0],
    )
  }
  const middles = groups.map(middle)
  const laid = planesBy(plan)
  const parametersOf = ({ tibia: t, distal, posterior }: Planes): CutParameters => {
    const depth = (plane: { normal: Vec3; point: Vec3 }, from: Vec3) =>
      dot(plane.normal, [plane.point[0] - from[0], plane.point[1] - from[1], plane.point[2] - from[2]])
    const a = tibialAngles(tibial, t.normal)
    const b = femoralAngles(femoral, distal.normal)
    return [
      a.varusDeg,
      a.slopeDeg,
      depth(t, middles[0]!),
      b.valgusDeg,
      b.flexionDeg,
      depth(distal, middles[1]!),
      externalRotationOf(femoral, line, posterior.normal),
      depth(posterior, middles[2]!),
    ]
  }
  const parameters = (of: PlanInput): Result<CutParameters> => {
    const planes = laid(of)
    return planes.ok ? ok(parametersOf(planes.value)) : planes
  }
  const sawn = sawnPlanes(plan)
  if (!sawn) return fail('cut/misses-bone', 'A cut of the plan has no plane.')
  const planned = parametersOf(sawn)
  // A posterior cut may depart from square to the distal one; that stays as planned.
  const offSquare = sub(unit(reject(sawn.distal.normal, sawn.posterior.normal)), sawn.distal.normal)
  const evaluate = (at: CutParameters) => {
    const distalNormal = femoralDistalNormal(femoral, at[3]!, at[4]!)
    const normals = [
      tibialNormal(tibial, at[0]!, at[1]!),
      distalNormal,
      femoralPosteriorNormal(femoral, line, add(distalNormal, offSquare), at[6]!),
    ]
    const depths = [at[2]!, at[5]!, at[7]!]
    const differences = new Map<string, number>()
    groups.forEach((sites, g) => {
      const n = normals[g]!
      const offset = dot(n, middles[g]!) + depths[g]!
      for (const site of sites) {
        const point =
          g === 0 ? site.point : (support(site.id.endsWith('medial') ? 'medial' : 'lateral', n) ?? site.point)
        differences.set(site.id, site.differenceMm + (offset - dot(n, point)) - site.distanceMm)
      }
    })
    const moreVarus = at[0]! - planned[0]!
    const moreValgus = at[3]! - planned[3]!
    const shift = (id: string) => differences.get(id) ?? 0
    const limits = judgedLimits(plan.limits).map(({ id, value }) => {
      if (plan.procedure === 'total') {
        // The component follows the saw's error, not the departure it was planned with.
        if (id === 'hka') return value - moreVarus + moreValgus
        if (id === 'ldfa') return value - moreValgus
        if (id === 'mpta') return value - moreVarus
      } else {
        // A partial turns the limb by what it over- or under-replaces medially.
        const turn = (mm: number) => (Math.atan(mm / spacing) * 180) / Math.PI
        const before = (site: string) => plan.sites.find((s) => s.id === site)?.differenceMm ?? 0
        const tibialMore = shift('tibia-medial') - before('tibia-medial')
        const femoralMore = shift('femur-distal-medial') - before('femur-distal-medial')
        if (id === 'hka') return value - turn(tibialMore + femoralMore)
        if (id === 'mpta') return value - turn(tibialMore)
        if (id === 'tray-varus') return at[0]!
      }
      return id === 'slope' ? at[1]! : value
    })
    return { limits, differencesMm: plan.sites.map(({ id }) => shift(id)) }
  }
  const apart: Vec3 = [0, 1, 2].map((k) => tibia.lateral.point[k]! - tibia.medial.point[k]!) as unknown as Vec3
  const spacing = Math.abs(dot(tibial.lateral, apart))
  return ok({ planned, parameters, evaluate })
}

/** The plan's own planes, departures included; null where one is missing. */
function sawnPlanes(plan: Plan): Planes | null {
  const planeOf = (id: CutId): PlaneLike | null => {
    const cut = plan.cuts.find((c) => c.id === id)
    return cut?.point && cut.normal ? { point: cut.point, normal: cut.normal } : null
  }
  const [tibia, distal, posterior] = [planeOf('tibia'), planeOf('femur-distal'), planeOf('femur-posterior')]
  return tibia && distal && posterior ? { tibia, distal, posterior } : null
}

/** The planes of the recipe's box laid anew for a displaced anatomy with the plan's own components. */
function planesBy(plan: Plan) {
  return (input: PlanInput): Result<Planes> => {
    const { family, femurSize, tibiaSize, insertMm } = plan.implants
    if (plan.procedure === 'total') {
      const total = totalFamily(family, input.choices.implants.own)
      if (!total.ok) return total
      const femoral = sizeOf(total.value.femoral, femurSize, 'implants.femurSize')
      const tibial = sizeOf(total.value.tibial, tibiaSize, 'implants.tibiaSize')
      if (!femoral.ok) return femoral
      if (!tibial.ok) return tibial
      const laid = layCuts(input, {
        femoral: measureFemoral(femoral.value),
        tibial: measureTibial(tibial.value, insertMm),
      })
      return laid.ok
        ? ok({
            tibia: laid.value.tibial.plane,
            distal: laid.value.femoral.distal,
            posterior: laid.value.femoral.posterior,
          })
        : laid
    }
    const partial = partialFamily(family, input.choices.implants.own)
    if (!partial.ok) return partial
    const femoral = sizeOf(partial.value.femoral, femurSize, 'implants.femurSize')
    const tibial = sizeOf(partial.value.tibial, tibiaSize, 'implants.tibiaSize')
    if (!femoral.ok) return femoral
    if (!tibial.ok) return tibial
    const laid = layPartialCuts(input, measurePartial(femoral.value, tibial.value, insertMm))
    return laid.ok
      ? ok({ tibia: laid.value.horizontal, distal: laid.value.distal, posterior: laid.value.posterior })
      : laid
  }
}

interface Planes {
  readonly tibia: PlaneLike
  readonly distal: PlaneLike
  readonly posterior: PlaneLike
}

interface PlaneLike {
  readonly point: Vec3
  readonly normal: Vec3
}

/**
 * How the laid parameters answer to each error of the landmarks, per SD, by central differences of 1 SD. An anatomy for which
 * the cuts cannot be laid is that failure.
 */
export function landmarkDerivative(
  input: PlanInput,
  parameters: (input: PlanInput) => Result<CutParameters>,
  sources: readonly ErrorSource[],
  references: References,
): Result<readonly CutParameters[]> {
  const columns: CutParameters[] = []
  const one = new Float64Array(sources.length)
  for (let k = 0; k < sources.length; k++) {
    const at = (sds: number): Result<CutParameters> => {
      one[k] = sds
      const { femur, tibia } = displacedKnee(input, sources, one, references)
      one[k] = 0
      return parameters({ ...input, femur, tibia })
    }
    const [high, low] = [at(1), at(-1)]
    if (!high.ok) return high
    if (!low.ok) return low
    columns.push(high.value.map((v, i) => (v - low.value[i]!) / 2))
  }
  return ok(columns)
}
