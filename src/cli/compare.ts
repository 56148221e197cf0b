import type { BoneName } from '../anatomy/terms.ts'
import { assess } from '../assess.ts'
import { caution } from '../casefile/program.ts'
import { ok, type Result } from '../failure.ts'
import type { Findings } from '../findings.ts'
import { type RecipeName, recipeNames } from '../planning/terms.ts'
import { boundBeside, shownBounded } from '../report/bounded.ts'
import { findingsJson } from '../report/findings-json.ts'
import { type Quantity, shown } from '../report/numbers.ts'
import { poseWords, procedureWords, siteWords } from '../report/words.ts'
import type { OpenedCase } from './case-source.ts'
import { headLine } from './findings-text.ts'
import { textTable } from './text-table.ts'

export type Comparison = Readonly<Record<RecipeName, Findings>>

/** The four recipes on the same bones; everything else of the case stays. The first recipe that fails is the failure. */
export function compareRecipes({ document, bones, warnings }: OpenedCase): Result<Comparison> {
  const all: Partial<Record<RecipeName, Findings>> = {}
  for (const recipe of recipeNames) {
    const findings = assess({ ...document, recipe }, bones, warnings)
    if (!findings.ok) return findings
    all[recipe] = findings.value
  }
  return ok(all as Comparison)
}

/** The document `floorline.compare/1`. */
export const comparisonDocument = (recipes: Comparison): Readonly<Record<string, unknown>> => ({
  schema: 'floorline.compare/1',
  caution,
  recipes: Object.fromEntries(recipeNames.map((name) => [name, findingsJson(recipes[name])])),
})

/** Four columns for a terminal. */
export function comparisonText(recipes: Comparison): string {
  const first = recipes.mechanical
  const row = (words: string, of: (f: Findings) => number | null, quantity: Quantity, signed = false) => [
    words,
    ...recipeNames.map((name) => shown(of(recipes[name]), quantity, signed)),
  ]
  const removed = (bone: BoneName) => [
    `${bone} removed cm³`,
    ...recipeNames.map((name) => {
      const { volumes } = recipes[name]
      const bound = boundBeside(recipes[name], bone, volumes[`${bone}RemovedBoundMm3`])
      return shownBounded(volumes[`${bone}RemovedMm3`], 'cm3', bound)
    }),
  ]
  const pose = first.stance[0]?.pose ?? 'feet-together'
  const standing = (f: Findings) => f.stance.find((s) => s.pose === pose)
  const ratio = (direction: 'vertical' | 'tibial-axis') => (f: Findings) =>
    f.loading.find((l) => l.pose === pose && l.direction === direction)?.shearToCompression ?? null
  const cut = (id: string) => (f: Findings) => f.cuts.find((c) => c.id === id)
  const rows = [
    row('HKA after', (f) => f.after.hkaDeg, 'deg'),
    row('LDFA after', (f) => f.after.ldfaDeg, 'deg'),
    row('MPTA after', (f) => f.after.mptaDeg, 'deg'),
    row('slope after', (f) => f.after.slopeDeg, 'deg'),
    row('femoral rotation, external', (f) => cut('femur-posterior')(f)?.externalRotationDeg ?? null, 'deg', true),
    ...first.sites.map((site) =>
      row(
        `${siteWords[site.id]}, difference mm`,
        (f) => f.sites.find((s) => s.id === site.id)?.differenceMm ?? null,
        'mm',
        true,
      ),
    ),
    removed('femur'),
    removed('tibia'),
    row('limits beyond', (f) => f.limits.filter((l) => l.status === 'beyond').length, 'N'),
    row(
      `tray to floor side to side (${poseWords[pose]})`,
      (f) => standing(f)?.trayToFloorCoronalDeg ?? null,
      'deg',
      true,
    ),
    row(`tray to floor total (${poseWords[pose]})`, (f) => standing(f)?.trayToFloorDeg ?? null, 'deg'),
    row('shear/compression, vertical', ratio('vertical'), 'ratio'),
    row('shear/compression, along the tibia', ratio('tibial-axis'), 'ratio'),
  ]
  const columns = [{ title: '' }, ...recipeNames.map((title) => ({ title, align: 'right' as const }))]
  return `${headLine()}${first.side.toUpperCase()} KNEE, ${procedureWords[first.procedure]}, four recipes\n\n${textTable(columns, rows)}`
}
