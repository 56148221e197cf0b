import type { CaseDocument } from '../casefile/document.ts'
import { sha256 } from '../casefile/hash.ts'
import { programVersion } from '../casefile/program.ts'
import type { Vary } from './sweep.ts'

/**
 * Tells a sweep from any other: SHA-256 over the program's version, what is varied and all of the case that its rows
 * depend on. Names, notes, views, lessons and kept studies are left out, so that keeping a study does not lose its rows.
 */
export function sweepKey(document: CaseDocument, vary: readonly Vary[]): Promise<string> {
  const { name, notes, views, lastView, lessons, studies, ...counts } = document
  return sha256(new TextEncoder().encode(JSON.stringify(ordered([programVersion, counts, vary]))))
}

/** The same data with every object's keys in one order, whoever wrote it. */
function ordered(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(ordered)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(
    Object.entries(value)
      .sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
      .map(([key, inner]) => [key, ordered(inner)]),
  )
}
