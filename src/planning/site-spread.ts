import type { Draws } from '../anatomy/angle-spread.ts'
import type { ErrorSource } from '../anatomy/error-sources.ts'
import { type Spread, seededDraws, spreadOf } from '../anatomy/spread.ts'
import type { BoneName, References } from '../anatomy/terms.ts'
import { ok, type Result } from '../failure.ts'
import { type CutParameters, cutErrorModel, landmarkDerivative } from './cut-error-model.ts'
import type { PlanInput } from './plan.ts'
import type { Plan } from './planned.ts'

/**
 * Spread of each site's thickness (mm, by findings path): landmarks read again on the same mesh lay the plan again, which
 * moves the plane over the site by the plan's own derivative; and the surface under the site errs by its own SD (`surface`, of each
 * bone), each site by itself. The same holds for total, piece and difference, which differ by what is not drawn here.
 */
export function spreadOfSites(
  input: PlanInput,
  plan: Plan,
  references: References,
  draws: Draws,
  surface: { readonly sdMm: Readonly<Record<BoneName, number>>; readonly seed: number },
): Result<Readonly<Record<string, Spread>>> {
  const model = cutErrorModel(input, plan)
  if (!model.ok) return model
  const { planned, parameters, evaluate } = model.value
  const placing = draws.sources.map((source, k) => ({ source, k })).filter(({ source }) => isPlacing(source))
  const columns = landmarkDerivative(
    input,
    parameters,
    placing.map(({ source }) => source),
    references,
  )
  if (!columns.ok) return columns
  const answer = siteDerivative(planned, evaluate)
  const perSd = answer.map((byParameter) =>
    columns.value.map((column) => column.reduce((sum, v, p) => sum + v * byParameter[p]!, 0)),
  )
  const groups = [...placing.map(({ source }) => source.group), 'meshSurface' as const]
  const own = seededDraws(plan.sites.length, draws.count, surface.seed + 1)
  const n = draws.sources.length
  const out: Record<string, Spread> = {}
  plan.sites.forEach((site, j) => {
    const surfaceMm = surface.sdMm[site.id.startsWith('tibia') ? 'tibia' : 'femur']
    const of = (value: number) => {
      const values = new Float64Array(draws.count)
      for (let draw = 0; draw < draws.count; draw++) {
        let sum = value + surfaceMm * own[draw * plan.sites.length + j]!
        for (let i = 0; i < placing.length; i++) sum += perSd[j]![i]! * draws.amounts[draw * n + placing[i]!.k]!
        values[draw] = sum
      }
      return spreadOf(values, [...perSd[j]!, surfaceMm], groups, 'mm')
    }
    for (const key of ['totalMm', 'pieceMm', 'differenceMm'] as const) out[`sites.${site.id}.${key}`] = of(site[key])
  })
  return ok(out)
}

/** Read again on the same mesh, a landmark stays on it. */
const isPlacing = ({ group }: ErrorSource): boolean => group !== 'meshSurface'

/** How each site's difference answers to each parameter of the cuts, by central differences; rows are sites. */
function siteDerivative(
  planned: CutParameters,
  evaluate: (at: CutParameters) => { readonly differencesMm: readonly number[] },
): readonly (readonly number[])[] {
  const half = 0.05
  const columns = planned.map((_, p) => {
    const at = (step: number) => evaluate(planned.map((v, i) => (i === p ? v + step : v))).differencesMm
    const [high, low] = [at(half), at(-half)]
    return high.map((v, j) => (v - low[j]!) / (2 * half))
  })
  return (columns[0] ?? []).map((_, j) => columns.map((column) => column[j]!))
}
