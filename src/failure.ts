/** Expected failures are values. Only bugs throw. */

/** The closed set of failure codes. Text lives in the message; tests check the code. */
export type FailureCode =
  | 'file/unreadable'
  | 'file/exists'
  | 'file/too-large'
  | 'format/unknown'
  | 'format/empty'
  | 'format/truncated'
  | 'format/count'
  | 'format/syntax'
  | 'format/index'
  | 'format/non-finite'
  | 'format/unsupported'
  | 'mesh/no-faces'
  | 'mesh/open'
  | 'mesh/inconsistent'
  | 'mesh/too-small'
  | 'unit/not-mm'
  | 'unit/too-large'
  | 'fit/degenerate'
  | 'cut/misses-bone'
  | 'cut/negative-piece'
  | 'cut/touches-open-boundary'
  | 'anatomy/not-a-femur'
  | 'anatomy/not-a-tibia'
  | 'anatomy/not-this-part'
  | 'anatomy/other-frame'
  | 'anatomy/degenerate-frame'
  | 'anatomy/side-contradiction'
  | 'anatomy/side-unclear'
  | 'landmark/missing'
  | 'plan/infeasible'
  | 'plan/impossible-size'
  | 'stance/degenerate'
  | 'load/out-of-range'
  | 'contact/no-solution'
  | 'case/syntax'
  | 'case/newer-version'
  | 'case/unknown-path'
  | 'case/out-of-range'
  | 'case/mesh-missing'
  | 'case/hash'
  | 'job/cancelled'
  | 'job/internal'
  | 'cli/usage'

export interface Failure {
  readonly code: FailureCode
  /** One plain sentence. */
  readonly message: string
  /** What to do about it. */
  readonly hint: string | null
  /** Byte, line, triangle or document path. */
  readonly place: string | null
}

export type Result<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly failure: Failure }

/** A usable result can carry warnings; each names the findings paths it spoils. */
export interface Warning {
  readonly code: string
  readonly message: string
  readonly spoils: readonly string[]
}

export function ok<T>(value: T): Result<T> {
  return { ok: true, value }
}

export function fail(
  code: FailureCode,
  message: string,
  extra: { readonly hint?: string; readonly place?: string } = {},
): { readonly ok: false; readonly failure: Failure } {
  return { ok: false, failure: { code, message, hint: extra.hint ?? null, place: extra.place ?? null } }
}
