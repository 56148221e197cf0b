import type { CaseDocument } from '../casefile/document.ts'
import type { Result } from '../failure.ts'
import type { SawErrorChances, Spread } from '../planning/saw-error.ts'
import { type RecipeName, recipeNames } from '../planning/terms.ts'
import type { SawOff } from '../studies/saw-off.ts'
import type { StudyCell, StudyColumn } from '../studies/sweep.ts'
import { studyCsv } from './study-csv.ts'
import { siteWords } from './words.ts'

/** One limit or tolerance: the share of the draws in which it holds, per recipe, and where the value then lies. */
export interface ChanceRow {
  readonly id: string
  readonly words: string
  readonly unit: 'deg' | 'mm' | ''
  /** null: the recipe cannot be planned, or does not know this limit. */
  readonly of: Readonly<Record<RecipeName, { readonly share: number; readonly spread: Spread | null } | null>>
}

const limitWords: Readonly<Record<string, string>> = {
  hka: 'Limb axis inside its limit',
  ldfa: 'LDFA inside its limits',
  mpta: 'MPTA inside its limits',
  slope: 'Slope inside its limits',
  'tray-varus': 'Tray varus inside its limits',
}

/** Limits first, then sites, then all of each; the rows are those of the first recipe that can be planned. */
export function chanceRows(study: SawOff): readonly ChanceRow[] {
  const first = recipeNames.map((name) => study[name]).find((result) => result.ok)
  if (!first?.ok) return []
  const row = (
    id: string,
    words: string,
    unit: ChanceRow['unit'],
    read: (chances: SawErrorChances) => { readonly share: number; readonly spread: Spread | null } | null,
  ): ChanceRow => {
    const at = (result: Result<SawErrorChances>) => (result.ok ? read(result.value) : null)
    return {
      id,
      words,
      unit,
      of: {
        mechanical: at(study.mechanical),
        anatomic: at(study.anatomic),
        kinematic: at(study.kinematic),
        restricted: at(study.restricted),
      },
    }
  }
  const { limits, sites } = first.value
  return [
    ...limits.map(({ id }) =>
      row(`limits.${id}`, limitWords[id] ?? id, 'deg', (c) => {
        const limit = c.limits.find((l) => l.id === id)
        return limit ? { share: limit.inside, spread: limit.value } : null
      }),
    ),
    row('limits.all', 'All limits together', '', (c) => ({ share: c.allLimitsInside, spread: null })),
    ...sites.map(({ id }) =>
      row(`sites.${id}`, `${siteWords[id as keyof typeof siteWords] ?? id} within ±0.5 mm`, 'mm', (c) => {
        const site = c.sites.find((s) => s.id === id)
        return site ? { share: site.within, spread: site.differenceMm } : null
      }),
    ),
    row('sites.all', 'All sites together', '', (c) => ({ share: c.allSitesWithin, spread: null })),
  ]
}

/** The study as CSV: one row per recipe and limit or site; the same bytes from window and command line. */
export function sawOffCsv(study: SawOff, { seed, saw }: Pick<CaseDocument, 'seed' | 'saw'>): string {
  const planned = recipeNames.flatMap((name) => {
    const result = study[name]
    return result.ok ? [result.value] : []
  })
  const columns: StudyColumn[] = [
    { name: 'recipe', unit: '' },
    { name: 'what', unit: '' },
    { name: 'share', unit: '0…1' },
    { name: 'mean', unit: 'deg or mm' },
    { name: 'sd', unit: 'deg or mm' },
    { name: 'p05', unit: 'deg or mm' },
    { name: 'p95', unit: 'deg or mm' },
    { name: 'failure', unit: '' },
  ]
  const rows = recipeNames.flatMap((name): (readonly StudyCell[])[] => {
    const result = study[name]
    if (!result.ok) return [[name, null, null, null, null, null, null, result.failure.code]]
    return chanceRows(study).flatMap(({ id, of }) => {
      const chance = of[name]
      if (chance === null) return []
      const { share, spread } = chance
      return [
        [name, id, share, spread?.mean ?? null, spread?.sd ?? null, spread?.low ?? null, spread?.high ?? null, null],
      ]
    })
  })
  const head = [
    `draws: ${planned[0]?.draws ?? 0}; seed: ${seed}; cut angles ${saw.angleSdDeg} deg, depth ${saw.depthSdMm} mm, 1 SD`,
    'share of the draws in which the entered limit or the tolerance of ±0.5 mm holds; never a recommendation',
    ...(planned[0]?.assumptions ?? []).map((line) => `assumption: ${line}`),
  ]
  return studyCsv(head, columns, rows)
}
