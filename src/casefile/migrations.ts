import { fail, ok, type Result } from '../failure.ts'

/** The version this program writes. */
export const currentVersion = 3

type Json = Readonly<Record<string, unknown>>

/** One pure step per released version, from version N to N + 1; version 1 is the first. */
const steps: Readonly<Record<number, (json: Json) => Json>> = {
  // Views and lessons came with version 2.
  1: (json) => ({ ...json, version: 2, views: [], lastView: null, lessons: [] }),
  // Femoral cuts that depart from the component's box came with version 3; before, every cut lay on it.
  2: (json) => ({ ...json, version: 3 }),
}

/**
 * Brings parsed JSON of an older case to the current version. Something that is no case, or comes from a newer
 * program, is a failure.
 */
export function migrate(json: unknown): Result<Json> {
  if (typeof json !== 'object' || json === null || Array.isArray(json))
    return fail('case/syntax', 'This is not a case: it holds no fields.', { place: 'case.json' })
  let at = json as Json
  const version = at['version']
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1)
    return fail('case/syntax', 'This is not a case: its version is missing.', { place: 'version' })
  if (version > currentVersion)
    return fail(
      'case/newer-version',
      `This case is of version ${version}; this program reads up to ${currentVersion}.`,
      {
        hint: 'Open it with the newer program that saved it.',
        place: 'version',
      },
    )
  for (let from = version; from < currentVersion; from++) {
    const step = steps[from]
    if (!step) return fail('case/syntax', `There is no way from version ${from} of a case.`, { place: 'version' })
    at = step(at)
  }
  return ok(at)
}
