import type { Findings } from '../findings.ts'
import { type RecipeName, recipeNames } from '../planning/terms.ts'
import { type Quantity, shown } from './numbers.ts'
import { poseWords, siteWords } from './words.ts'

/** Findings of the four recipes on the same bones; null where a recipe cannot be planned. */
export type Comparison = Readonly<Record<RecipeName, Findings | null>>

export interface ComparisonRow {
  readonly words: string
  readonly values: Readonly<Record<RecipeName, string>>
}

/** The four recipes row by row: alignment, difference at every site, bone, limits, tilt, shear in both directions. */
export function comparisonRows(recipes: Comparison): readonly ComparisonRow[] {
  const first = recipeNames.map((name) => recipes[name]).find((findings) => findings !== null)
  if (!first) return []
  const row = (
    words: string,
    of: (f: Findings) => number | null,
    quantity: Quantity,
    signed = false,
  ): ComparisonRow => {
    const value = (name: RecipeName) => {
      const findings = recipes[name]
      return findings ? shown(of(findings), quantity, signed) : shown(null, quantity)
    }
    return {
      words,
      values: {
        mechanical: value('mechanical'),
        anatomic: value('anatomic'),
        kinematic: value('kinematic'),
        restricted: value('restricted'),
      },
    }
  }
  const pose = first.stance[0]?.pose ?? 'feet-together'
  const standing = (f: Findings) => f.stance.find((s) => s.pose === pose)
  const load = (f: Findings, direction: 'vertical' | 'tibial-axis') =>
    f.loading.find((l) => l.pose === pose && l.direction === direction)
  const worstPeak = (f: Findings) => {
    const bearing = load(f, 'vertical')?.bearing
    return bearing ? Math.max(bearing.medial?.peakMpa ?? 0, bearing.lateral?.peakMpa ?? 0) : null
  }
  return [
    row('HKA after', (f) => f.after.hkaDeg, 'deg'),
    row('LDFA after', (f) => f.after.ldfaDeg, 'deg'),
    row('MPTA after', (f) => f.after.mptaDeg, 'deg'),
    row('slope after', (f) => f.after.slopeDeg, 'deg'),
    row(
      'femoral rotation, external',
      (f) => f.cuts.find((c) => c.id === 'femur-posterior')?.externalRotationDeg ?? null,
      'deg',
      true,
    ),
    ...first.sites.map((site) =>
      row(
        `${siteWords[site.id]}, difference mm`,
        (f) => f.sites.find((s) => s.id === site.id)?.differenceMm ?? null,
        'mm',
        true,
      ),
    ),
    row('femur removed cm³', (f) => f.volumes.femurRemovedMm3, 'cm3'),
    row('tibia removed cm³', (f) => f.volumes.tibiaRemovedMm3, 'cm3'),
    row('limits beyond', (f) => f.limits.filter((l) => l.status === 'beyond').length, 'N'),
    row(
      `tray to floor side to side (${poseWords[pose]})`,
      (f) => standing(f)?.trayToFloorCoronalDeg ?? null,
      'deg',
      true,
    ),
    row(`tray to floor total (${poseWords[pose]})`, (f) => standing(f)?.trayToFloorDeg ?? null, 'deg'),
    row('shear/compression, vertical', (f) => load(f, 'vertical')?.shearToCompression ?? null, 'ratio'),
    row('shear/compression, along the tibia', (f) => load(f, 'tibial-axis')?.shearToCompression ?? null, 'ratio'),
    row('medial share, vertical %', (f) => load(f, 'vertical')?.medialShare ?? null, 'percent'),
    row('bearing peak, vertical MPa', worstPeak, 'MPa'),
  ]
}
