import { confidenceWord } from '../../src/anatomy/confidence-word.ts'
import type { LandmarkId } from '../../src/anatomy/terms.ts'

/** What was said of one landmark, and how far it lies from the truth. */
export interface Judgement {
  readonly id: LandmarkId
  readonly confidence: number
  readonly errorMm: number
  readonly scatterMm: number
}

export interface CalibrationBin {
  readonly from: number
  readonly count: number
  readonly said: number
  /** Share that lies within twice the assumed scatter. */
  readonly within: number
}

export interface Calibration {
  readonly bins: readonly CalibrationBin[]
  /** Mean of |said − found| over the bins, weighted by their counts. */
  readonly meanGap: number
  readonly byWord: Readonly<Record<'sure' | 'fair' | 'doubtful', { readonly count: number; readonly within: number }>>
}

const hit = ({ errorMm, scatterMm }: Judgement): number => (errorMm <= 2 * scatterMm ? 1 : 0)
const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / Math.max(1, values.length)

/** Confidence said against how often it held, in tenths. */
export function calibration(all: readonly Judgement[]): Calibration {
  const bins = Array.from({ length: 10 }, (_, k) => {
    const own = all.filter(({ confidence }) => Math.min(9, Math.floor(10 * confidence)) === k)
    return { from: k / 10, count: own.length, said: mean(own.map((j) => j.confidence)), within: mean(own.map(hit)) }
  }).filter(({ count }) => count > 0)
  const word = (name: 'sure' | 'fair' | 'doubtful') => {
    const own = all.filter(({ confidence }) => confidenceWord(confidence) === name)
    return { count: own.length, within: mean(own.map(hit)) }
  }
  return {
    bins,
    meanGap: bins.reduce((sum, b) => sum + b.count * Math.abs(b.said - b.within), 0) / Math.max(1, all.length),
    byWord: { sure: word('sure'), fair: word('fair'), doubtful: word('doubtful') },
  }
}

/** The calibration as a picture: the diagonal is a confidence that says what happens. */
export function calibrationSvg({ bins }: Calibration, legs: number): string {
  const x = (v: number) => (60 + 340 * v).toFixed(1)
  const y = (v: number) => (380 - 340 * v).toFixed(1)
  const most = Math.max(...bins.map(({ count }) => count))
  const ticks = [0, 0.25, 0.5, 0.75, 1]
  const grid = ticks
    .map(
      (t) =>
        `<path d="M${x(0)} ${y(t)}H${x(1)}M${x(t)} ${y(0)}V${y(1)}" stroke="#ddd"/><text x="52" y="${y(t)}" text-anchor="end" dy="4">${t}</text><text x="${x(t)}" y="398" text-anchor="middle">${t}</text>`,
    )
    .join('')
  const dots = bins
    .map(
      ({ said, within, count }) =>
        `<circle cx="${x(said)}" cy="${y(within)}" r="${(3 + 11 * Math.sqrt(count / most)).toFixed(1)}" fill="#d1512d" fill-opacity="0.75"/><text x="${x(said)}" y="${y(within)}" dx="16" dy="4" font-size="10">${count}</text>`,
    )
    .join('')
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 440 440" font-family="sans-serif" font-size="12">
<title>Calibration of landmark confidence</title>
<rect width="440" height="440" fill="#fff"/>
<text x="60" y="22">Confidence said and found, ${legs} synthetic legs with noise and coarse meshes</text>
${grid}<path d="M${x(0)} ${y(0)}L${x(1)} ${y(1)}" stroke="#555" stroke-dasharray="4 4"/>${dots}
<text x="230" y="420" text-anchor="middle">confidence said</text>
<text transform="translate(16 210) rotate(-90)" text-anchor="middle">share within twice the assumed scatter</text>
</svg>
`
}
