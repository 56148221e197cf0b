import { fail, ok, type Result } from '../failure.ts'
import type { CaseDocument } from './document.ts'
import { isStablePath, type NumberRule, type PathRule, stablePaths } from './stable-paths.ts'

export type PathValue = number | string | boolean | null

/**
 * The case with one stable path set. Text is read by the path's own type, so that command line and window agree;
 * `null`, `auto` or an empty text give a value back to the recipe, the pose or the shape. Unknown paths and values
 * out of range are failures and leave the case as it was.
 */
export function setPath(document: CaseDocument, path: string, value: PathValue): Result<CaseDocument> {
  if (!isStablePath(path))
    return fail('case/unknown-path', `There is no “${path}” to set.`, { hint: nearestHint(path), place: path })
  const read = readValue(stablePaths[path], value, path)
  if (!read.ok) return read
  const next = withValue(document, path.split('.'), read.value) as CaseDocument
  if (next.limits.jointLineLowDeg >= next.limits.jointLineHighDeg)
    return fail('case/out-of-range', 'The lower joint line limit must lie below the upper one.', { place: path })
  return ok(next)
}

/** The value at a stable path; text, number, switch, or null when it is left to the recipe, the pose or the shape. */
export function getPath(document: CaseDocument, path: string): Result<PathValue> {
  if (!isStablePath(path))
    return fail('case/unknown-path', `There is no “${path}” to read.`, { hint: nearestHint(path), place: path })
  let at: unknown = document
  for (const key of path.split('.')) at = (at as Readonly<Record<string, unknown>>)[key]
  return ok(at as PathValue)
}

/** Splits `PATH=VALUE` and sets it. */
export function setAssignment(document: CaseDocument, assignment: string): Result<CaseDocument> {
  const at = assignment.indexOf('=')
  if (at < 1)
    return fail('case/unknown-path', `“${assignment}” is not PATH=VALUE.`, {
      hint: 'Write for example cuts.tibia.varusDeg=3',
      place: assignment,
    })
  return setPath(document, assignment.slice(0, at).trim(), assignment.slice(at + 1).trim())
}

function readValue(rule: PathRule, value: PathValue, path: string): Result<PathValue> {
  if (value === null || value === '' || value === 'null' || value === 'auto')
    return rule.kind !== 'switch' && rule.nullable
      ? ok(null)
      : fail('case/out-of-range', `${path} needs a value.`, { place: path })
  if (rule.kind === 'number') return readNumber(rule, value, path)
  if (rule.kind === 'switch') {
    if (value === true || value === 'true') return ok(true)
    if (value === false || value === 'false') return ok(false)
    return fail('case/out-of-range', `${path} is true or false.`, { place: path })
  }
  if (typeof value === 'string' && rule.choices.includes(value)) return ok(value)
  return fail('case/out-of-range', `${path} is one of ${rule.choices.join(', ')}; “${value}” is not.`, { place: path })
}

const decimal = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i

function readNumber(rule: NumberRule, value: PathValue, path: string): Result<number> {
  const number =
    typeof value === 'number' ? value : typeof value === 'string' && decimal.test(value) ? Number(value) : Number.NaN
  if (!Number.isFinite(number))
    return fail('case/out-of-range', `${path} is a number; “${value}” is not.`, {
      hint: 'Write decimals with a point.',
      place: path,
    })
  if (rule.integer && !Number.isInteger(number))
    return fail('case/out-of-range', `${path} is a whole number; ${number} is not.`, { place: path })
  if (number < rule.low || number > rule.high) {
    const range = `between ${rule.low} and ${rule.high}${rule.unit === '' ? '' : ` ${rule.unit}`}`
    return fail('case/out-of-range', `${path} lies ${range}; ${number} does not.`, { place: path })
  }
  return ok(number === 0 ? 0 : number)
}

function withValue(at: unknown, keys: readonly string[], value: PathValue): unknown {
  const [key, ...rest] = keys
  if (key === undefined) return value
  const record = at as Readonly<Record<string, unknown>>
  return { ...record, [key]: withValue(record[key], rest, value) }
}

function nearestHint(path: string): string {
  const last = path.split('.').at(-1)?.toLowerCase() ?? ''
  const close = Object.keys(stablePaths).filter((known) => last.length > 2 && known.toLowerCase().includes(last))
  return close.length > 0 ? `Did you mean ${close.join(' or ')}?` : `Known paths: ${Object.keys(stablePaths).join(' ')}`
}
