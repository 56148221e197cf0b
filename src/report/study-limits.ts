import type { CaseDocument } from '../casefile/document.ts'

/** A line in a chart at an entered limit or a tolerance. */
export interface LimitLine {
  readonly output: string
  readonly value: number
  readonly label: string
}

/** Limits that the case enters for the outputs of a study, and the tolerance of the thickness check (common practice). */
export function studyLimits(
  { limits }: Pick<CaseDocument, 'limits'>,
  outputs: readonly string[],
): readonly LimitLine[] {
  const bounds: Readonly<Record<string, readonly [number, number]>> = {
    'after.hkaDeg': [180 - limits.limbDeg, 180 + limits.limbDeg],
    'after.ldfaDeg': [limits.jointLineLowDeg, limits.jointLineHighDeg],
    'after.mptaDeg': [limits.jointLineLowDeg, limits.jointLineHighDeg],
    'after.slopeDeg': [0, 10],
  }
  return outputs.flatMap((output) => {
    const pair = bounds[output] ?? (/^sites\..*\.differenceMm$/.test(output) ? ([-0.5, 0.5] as const) : null)
    return pair === null
      ? []
      : pair.map((value) => ({ output, value, label: `${output} ${Number(value.toPrecision(6))}` }))
  })
}
