import { assess, assessFully } from '../assess.ts'
import type { Bones } from '../casefile/case-anatomy.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { setPath } from '../casefile/set-path.ts'
import { isStablePath, stablePaths } from '../casefile/stable-paths.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { Assumption } from '../planning/planned.ts'
import { outputs } from './outputs.ts'

/** One varied path: every value from `from` to `to`, `step` apart, both ends included. */
export interface Vary {
  readonly path: string
  readonly from: number
  readonly to: number
  readonly step: number
}

export interface StudyColumn {
  readonly name: string
  readonly unit: string
}

/** A number, nothing, or the code of the failure that stands in for a row's numbers. */
export type StudyCell = number | string | null

/** A finished sweep: one row per point, the first varied path slowest. */
export interface Sweep {
  readonly vary: readonly Vary[]
  readonly columns: readonly StudyColumn[]
  readonly rows: readonly (readonly StudyCell[])[]
  readonly assumptions: readonly Assumption[]
}

/** More points than this are refused. */
export const mostPoints = 100_000

/** Reads `PATH=FROM:TO:STEP`. Unknown paths, words, empty ranges and steps of the wrong sign are failures. */
export function parseVary(text: string): Result<Vary> {
  const match = /^([A-Za-z.]+)=([^:]+):([^:]+):([^:]+)$/.exec(text.trim())
  if (!match)
    return fail('cli/usage', `“${text}” is not PATH=FROM:TO:STEP.`, {
      hint: 'Write for example cuts.tibia.varusDeg=-5:12:1',
      place: '--vary',
    })
  const [, path = '', ...numbers] = match
  const [from = Number.NaN, to = Number.NaN, step = Number.NaN] = numbers.map(Number)
  return checkedVary({ path, from, to, step })
}

/** The same vary when it can be walked, else the reason why not. */
export function checkedVary(vary: Vary): Result<Vary> {
  const { path, from, to, step } = vary
  if (!isStablePath(path)) return fail('case/unknown-path', `There is no “${path}” to vary.`, { place: path })
  if (stablePaths[path].kind !== 'number')
    return fail('case/out-of-range', `${path} is no number and cannot be varied.`, { place: path })
  if (![from, to, step].every(Number.isFinite) || step === 0 || (to - from) / step < 0)
    return fail('case/out-of-range', `The range ${from}:${to}:${step} of ${path} has no values.`, { place: path })
  return ok(vary)
}

/** The values of a vary, rounded to twelve digits so that steps of 0.1 stay what they look like. */
export function valuesOf({ from, to, step }: Vary): number[] {
  const count = Math.floor((to - from) / step + 1e-9) + 1
  return Array.from(
    { length: Math.min(count, mostPoints + 1) },
    (_, k) => Number((from + k * step).toPrecision(12)) || 0,
  )
}

/** Every point of one or two varied paths, the first slowest. */
export function sweepPoints(vary: readonly Vary[]): Result<readonly (readonly number[])[]> {
  if (vary.length < 1 || vary.length > 2) return fail('cli/usage', 'Vary one path or two.', { place: '--vary' })
  for (const one of vary) {
    const checked = checkedVary(one)
    if (!checked.ok) return checked
  }
  const [first, second] = vary.map(valuesOf)
  const count = (first?.length ?? 0) * (second?.length ?? 1)
  if (count > mostPoints)
    return fail('case/out-of-range', `That makes ${count} points; at most ${mostPoints} are allowed.`, {
      hint: 'Take larger steps.',
      place: '--vary',
    })
  const points = (first ?? []).flatMap((a) => (second ? second.map((b) => [a, b]) : [[a]]))
  return ok(points)
}

/** Columns of a sweep: the varied paths, the outputs, and the failure's code where there is one. */
export function sweepColumns(vary: readonly Vary[]): StudyColumn[] {
  const varied = vary.map(({ path }) => {
    const rule = isStablePath(path) ? stablePaths[path] : null
    return { name: path, unit: rule?.kind === 'number' ? rule.unit : '' }
  })
  return [...varied, ...outputs.map(({ name, unit }) => ({ name, unit })), { name: 'failure', unit: '' }]
}

/** One row: the point's values, every output, and null or the code of the failure. Depends on nothing but its inputs. */
export function sweepRow(
  document: CaseDocument,
  bones: Bones,
  vary: readonly Vary[],
  point: readonly number[],
): readonly StudyCell[] {
  const moved = vary.reduce<Result<CaseDocument>>(
    (at, { path }, k) => (at.ok ? setPath(at.value, path, point[k] ?? Number.NaN) : at),
    ok(document),
  )
  const assessed = moved.ok ? assessFully(moved.value, bones, [], 'contact') : moved
  if (!assessed.ok) return [...point, ...outputs.map(() => null), assessed.failure.code]
  return [...point, ...outputs.map(({ of }) => of(assessed.value.findings, document.stance.pose)), null]
}

/** What a sweep takes for granted: the assumptions of the case as it stands. */
export function sweepAssumptions(document: CaseDocument, bones: Bones): readonly Assumption[] {
  const findings = assess(document, bones)
  const pose = { what: 'pose of the table', value: document.stance.pose, basis: 'the pose the case shows' }
  return [pose, ...(findings.ok ? findings.value.assumptions : [])]
}

/** The sweep of rows computed anywhere, by any number of workers, in any order; every index of its points must be there. */
export const sweepOf = (
  vary: readonly Vary[],
  rows: ReadonlyMap<number, readonly StudyCell[]>,
  assumptions: readonly Assumption[],
): Sweep => ({
  vary,
  columns: sweepColumns(vary),
  rows: Array.from({ length: rows.size }, (_, k) => rows.get(k) ?? []),
  assumptions,
})

/** A whole sweep in this thread, point by point: what every other way of running it is held against. */
export function runSweep(document: CaseDocument, bones: Bones, vary: readonly Vary[]): Result<Sweep> {
  const points = sweepPoints(vary)
  if (!points.ok) return points
  const rows = new Map(points.value.map((point, k) => [k, sweepRow(document, bones, vary, point)] as const))
  return ok(sweepOf(vary, rows, sweepAssumptions(document, bones)))
}
