import type { FittedShape } from '../../geometry/fit-shape.ts'

const spans = [0.2, 0.5, 1, 2, 5, 10]

/** Where the colours of a residual map end, mm: a round length that holds three times the fit's RMS. */
export const residualSpan = (fit: Pick<FittedShape, 'rmsMm'> | null): number =>
  spans.find((mm) => mm >= 3 * (fit?.rmsMm ?? 0)) ?? spans.at(-1)!
