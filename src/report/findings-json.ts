import type { Landmarks } from '../anatomy/terms.ts'
import { caution } from '../casefile/program.ts'
import type { Findings } from '../findings.ts'

/** Findings as they leave the program: with the caution at the head, without numbers that do not apply to a cut. */
export function findingsJson(findings: Findings): Readonly<Record<string, unknown>> {
  const { schema, ...rest } = findings
  return {
    schema,
    caution,
    ...rest,
    landmarks: landmarksJson(findings.landmarks),
    definitions: definitionsJson(findings.definitions),
    flags: flagsJson(findings.flags),
    cuts: findings.cuts.map((cut) =>
      withoutNull(cut, [
        'varusDeg',
        'valgusDeg',
        'slopeDeg',
        'flexionDeg',
        'rotationDeg',
        'externalRotationDeg',
        'depthMm',
        'departure',
        'gapMm',
        'interferenceMm',
      ]),
    ),
  }
}

/** Landmarks without reasons, residuals and deviations where there are none. */
export const landmarksJson = (landmarks: Landmarks): Readonly<Record<string, unknown>> =>
  Object.fromEntries(
    Object.entries(landmarks).map(([id, { evidence, ...landmark }]) => [
      id,
      {
        ...withoutNull(landmark, ['reason', 'residualMm', 'sdMm']),
        ...(evidence ? { evidence: withoutNull(evidence, Object.keys(evidence)) } : {}),
      },
    ]),
  )

/** Definitions of angles without choices and ranges where there are none. */
export const definitionsJson = (definitions: Findings['definitions']): Readonly<Record<string, unknown>> =>
  Object.fromEntries(
    Object.entries(definitions).map(([path, definition]) => [
      path,
      {
        ...withoutNull(definition, ['normal']),
        alternatives: definition.alternatives.map((alternative) => withoutNull(alternative, ['choose'])),
        ...(definition.types ? { types: definition.types.map((type) => withoutNull(type, ['choose'])) } : {}),
      },
    ]),
  )

/** Flags without bounds, paths and doubts where there are none. */
export const flagsJson = (flags: Findings['flags']): readonly unknown[] =>
  flags.map((flag) => withoutNull(flag, ['low', 'high', 'path', 'doubt']))

/** One JSON document as text: two spaces, a newline at the end. */
export const jsonText = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`

function withoutNull(record: object, keys: readonly string[]): Readonly<Record<string, unknown>> {
  return Object.fromEntries(Object.entries(record).filter(([key, value]) => value !== null || !keys.includes(key)))
}
