import type { KneeAngles } from './terms.ts'

/** Angles that are single numbers. */
export type AngleKey = {
  readonly [K in keyof KneeAngles]: KneeAngles[K] extends number | null ? K : never
}[keyof KneeAngles]

/** Where healthy adults lie, degrees. A range is no limit: half of what lies outside a 95 % range is healthy too. */
export interface NormalRange {
  readonly lowDeg: number
  readonly highDeg: number
  /** How the range is told: printed as such, or mean ± 1.96 SD of a series. */
  readonly kind: 'printed' | 'mean ± 1.96 SD'
  readonly source: string
  /** Seen in the work cited (abstract, table), or known from memory only. */
  readonly seen: boolean
  /** False where the source measures by another definition: to be compared with care. */
  readonly sameDefinition: boolean
}

const series = (
  mean: number,
  sd: number,
  source: string,
  { sameDefinition = true, seen = true }: { readonly sameDefinition?: boolean; readonly seen?: boolean } = {},
): NormalRange => ({
  lowDeg: mean - 1.96 * sd,
  highDeg: mean + 1.96 * sd,
  kind: 'mean ± 1.96 SD',
  source: `${source}: ${String(mean).replace('-', '−')} ± ${sd}°`,
  seen,
  sameDefinition,
})
const printed = (lowDeg: number, highDeg: number, source: string, seen: boolean): NormalRange => ({
  lowDeg,
  highDeg,
  kind: 'printed',
  source,
  seen,
  sameDefinition: true,
})

const ct758 = '758 healthy legs on CT, Knee Surg Sports Traumatol Arthrosc 2020, doi 10.1007/s00167-020-06030-4'
const weinberg = 'Weinberg et al., Am J Sports Med 2017, 1090 tibiae'
const strecker = 'Strecker et al., J Bone Joint Surg Br 1997;79:1019 (± printed as 2 SD)'

/** One range per angle with its source and year (check values §1.4); angles without a source have none. */
export const normalRanges: Readonly<Partial<Record<AngleKey, NormalRange>>> = {
  hkaDeg: series(179.4, 2.6, ct758),
  hkaOneCentreDeg: series(179.4, 2.6, ct758, { sameDefinition: false }),
  ldfaDeg: printed(85, 90, 'Feucht et al., Knee Surg Sports Traumatol Arthrosc 2021;29:3299, table 3', true),
  mptaDeg: printed(85, 90, 'Feucht et al., Knee Surg Sports Traumatol Arthrosc 2021;29:3299, table 3', true),
  mptaPlainDeg: printed(85, 90, 'Feucht et al., Knee Surg Sports Traumatol Arthrosc 2021;29:3299, table 3', true),
  jlcaDeg: series(1.09, 0.9, `${ct758}, lying`),
  jlcaLinesDeg: series(1.09, 0.9, `${ct758}, lying`),
  arithmeticHkaDeg: series(-0.87, 2.54, 'MacDessi et al., Bone Jt Open 2021;2(5), 500 normal knees'),
  slopeMedialDeg: series(6.9, 3.7, weinberg, { sameDefinition: false }),
  slopeLateralDeg: series(4.7, 3.6, weinberg, { sameDefinition: false }),
  posteriorCondylarDeg: series(2.73, 1.34, 'Yang et al., Front Surg 2022, 83 knees, bone'),
  pdfaDeg: series(85.2, 1.5, ct758, { sameDefinition: false }),
  anteversionDeg: series(24.1, 8.7, strecker, { sameDefinition: false }),
  tibialTorsionDeg: series(34.9, 7.95, strecker, { sameDefinition: false }),
}
