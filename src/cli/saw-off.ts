import { caution } from '../casefile/program.ts'
import { fail, ok, type Result } from '../failure.ts'
import { recipeNames } from '../planning/terms.ts'
import { chanceRows, sawOffCsv } from '../report/chances.ts'
import { shown } from '../report/numbers.ts'
import { procedureWords } from '../report/words.ts'
import { type SawOff, sawOff, usualDraws } from '../studies/saw-off.ts'
import { type CaseOptions, type OpenedCase, openCase } from './case-source.ts'
import { writeOne } from './files.ts'
import { headLine } from './findings-text.ts'
import type { Io } from './io.ts'
import { textTable } from './text-table.ts'

export interface SawOffOptions {
  readonly draws?: number
  readonly out?: string
  readonly force?: boolean
}

export interface SawOffDone {
  readonly study: SawOff
  readonly document: OpenedCase['document']
}

/** What if the saw is off, for a case from the command line; progress goes to standard error. */
export async function sawOffCase(
  io: Io,
  caseFile: string | undefined,
  options: CaseOptions & SawOffOptions,
): Promise<Result<SawOffDone>> {
  const opened = await openCase(caseFile, options)
  if (!opened.ok) return opened
  const { document, bones } = opened.value
  const steps = sawOff(document, bones, options.draws ?? usualDraws)
  let told = 0
  for (;;) {
    const step = steps.next()
    if (!step.done) {
      if (step.value >= told + 0.25 - 1e-9) {
        told = step.value
        io.err(`${Math.round(100 * told)} %\n`)
      }
      continue
    }
    if (!step.value.ok) return step.value
    const study = step.value.value
    if (recipeNames.every((name) => !study[name].ok)) {
      const first = study[recipeNames[0]]
      return first.ok ? fail('plan/infeasible', 'No recipe can be planned.') : first
    }
    if (options.out !== undefined) {
      const written = writeOne(options.out, sawOffCsv(study, document), options.force === true)
      if (!written.ok) return written
    }
    return ok({ study, document })
  }
}

/** The document `floorline.saw-off/1`; a recipe that cannot be planned is its failure. */
export const sawOffDocument = ({ study, document }: SawOffDone): Readonly<Record<string, unknown>> => ({
  schema: 'floorline.saw-off/1',
  caution,
  seed: document.seed,
  angleSdDeg: document.saw.angleSdDeg,
  depthSdMm: document.saw.depthSdMm,
  recipes: Object.fromEntries(
    recipeNames.map((name) => {
      const result = study[name]
      return [name, result.ok ? result.value : { failure: result.failure }]
    }),
  ),
})

/** Shares in percent, a column per recipe. */
export function sawOffText({ study, document }: SawOffDone): string {
  const columns = [{ title: '% of draws' }, ...recipeNames.map((title) => ({ title, align: 'right' as const }))]
  const rows = chanceRows(study).map(({ words, of }) => [
    words,
    ...recipeNames.map((name) => shown(of[name]?.share ?? null, 'percent')),
  ])
  const first = recipeNames.map((name) => study[name]).find((result) => result.ok)
  const assumed = first?.ok ? first.value.assumptions.map((line) => `  ${line}\n`).join('') : ''
  const refused = recipeNames
    .map((name) => [name, study[name]] as const)
    .map(([name, result]) => (result.ok ? '' : `  ${name}: ${result.failure.message}\n`))
    .join('')
  return `${headLine()}WHAT IF THE SAW IS OFF, ${procedureWords[document.procedure]}, ${first?.ok ? first.value.draws : 0} draws, seed ${document.seed}\n\n${textTable(columns, rows)}\n${assumed}${refused}`
}
