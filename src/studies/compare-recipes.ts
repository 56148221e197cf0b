import { assessFully } from '../assess.ts'
import type { Bones } from '../casefile/case-anatomy.ts'
import { type CaseDocument, newCase } from '../casefile/document.ts'
import { fail, ok, type Result, type Warning } from '../failure.ts'
import type { Findings } from '../findings.ts'
import { type RecipeName, recipeNames } from '../planning/terms.ts'
import type { PoseName } from '../stance/terms.ts'
import { nativeOutputs, type Output, outputs, poseOutputs } from './outputs.ts'

/** The same knee under every recipe; a recipe that cannot be planned is its failure. */
export type RecipeResults = Readonly<Record<RecipeName, Result<Findings>>>

/**
 * The four recipes on the same bones, all else of the case kept: also the cuts entered in it, unless `asRecipesSay`, which leaves
 * them out. Intervals are left out unless `withIntervals`: nothing that is compared needs them, and they take a while.
 */
export function compareRecipes(
  document: CaseDocument,
  bones: Bones,
  warnings: readonly Warning[] = [],
  options: {
    readonly asRecipesSay?: boolean
    readonly withIntervals?: boolean
    readonly onRecipe?: (recipe: RecipeName, k: number) => void
  } = {},
): RecipeResults {
  const cuts = options.asRecipesSay ? newCase.cuts : document.cuts
  const entries = recipeNames.map((recipe, k) => {
    options.onRecipe?.(recipe, k)
    const depth = options.withIntervals ? 'full' : 'contact'
    const assessed = assessFully({ ...document, recipe, cuts }, bones, warnings, depth)
    return [recipe, assessed.ok ? ok(assessed.value.findings) : assessed] as const
  })
  return Object.fromEntries(entries) as RecipeResults
}

/** Every number that can be set side by side. */
export const comparisonOutputs: readonly Output[] = [...outputs, ...poseOutputs, ...nativeOutputs.slice(-4)]

/** What is set side by side when nothing is chosen, in the order of the ledger: removed, aligned, stands. */
export const usualComparison: readonly string[] = [
  'volumes.femurRemovedMm3',
  'volumes.tibiaRemovedMm3',
  'sites.femur-distal-medial.differenceMm',
  'sites.femur-distal-lateral.differenceMm',
  'sites.femur-posterior-medial.differenceMm',
  'sites.femur-posterior-lateral.differenceMm',
  'sites.tibia-medial.differenceMm',
  'sites.tibia-lateral.differenceMm',
  'after.ldfaDeg',
  'after.mptaDeg',
  'after.hkaDeg',
  'after.slopeDeg',
  'limitsBeyond',
  'stance.trayToFloorCoronalDeg',
  'stance.trayToFloorSagittalDeg',
  'loading.vertical.shearToCompression',
  'loading.tibial-axis.shearToCompression',
  'loading.vertical.medial.peakMpa',
  'loading.vertical.medial.edgeDistanceMm',
  'loading.vertical.lateral.peakMpa',
  'loading.vertical.lateral.edgeDistanceMm',
]

type PerRecipe = Readonly<Record<RecipeName, number | null>>

/** One output of every recipe, and how far each lies from the baseline. */
export interface ComparedRow {
  readonly name: string
  readonly unit: string
  readonly values: PerRecipe
  /** Of a volume of an open bone: how far it may be from the truth; null elsewhere. */
  readonly bounds: PerRecipe
  /** Value less the baseline's; null without a baseline or where either has no number. */
  readonly differences: PerRecipe
}

/** Chosen outputs side by side. A name that is no output is a failure. */
export function comparedRows(
  results: RecipeResults,
  names: readonly string[],
  baseline: RecipeName | null,
  pose: PoseName,
): Result<readonly ComparedRow[]> {
  const rows: ComparedRow[] = []
  for (const name of names) {
    const output = comparisonOutputs.find((one) => one.name === name)
    if (!output)
      return fail('case/unknown-path', `There is no output “${name}” to compare.`, {
        hint: `Outputs: ${comparisonOutputs.map((one) => one.name).join(' ')}`,
        place: name,
      })
    const values = perRecipe((recipe) => {
      const result = results[recipe]
      return result.ok ? output.of(result.value, pose) : null
    })
    const from = baseline === null ? null : values[baseline]
    const differences = perRecipe((recipe) => {
      const value = values[recipe]
      return value === null || from === null ? null : value - from
    })
    const bounds = perRecipe((recipe) => {
      const result = results[recipe]
      return result.ok ? boundOf(result.value, name) : null
    })
    rows.push({ name, unit: output.unit, values, bounds, differences })
  }
  return ok(rows)
}

function boundOf({ bones, volumes }: Findings, name: string): number | null {
  const bone = name === 'volumes.femurRemovedMm3' ? 'femur' : name === 'volumes.tibiaRemovedMm3' ? 'tibia' : null
  return bone === null || bones[bone].closed ? null : volumes[`${bone}RemovedBoundMm3`]
}

const perRecipe = (of: (recipe: RecipeName) => number | null): PerRecipe => ({
  mechanical: of('mechanical'),
  anatomic: of('anatomic'),
  kinematic: of('kinematic'),
  restricted: of('restricted'),
})
