import type { Findings } from '../findings.ts'
import type { Quantity } from '../report/numbers.ts'
import {
  answerWords,
  costWords,
  nothingToCorrect,
  type PriceGroup,
  priceGroups,
  restrictedAnswers,
  stepWords,
  unitOfRow,
} from '../report/price.ts'
import { textTable, wrapped } from './text-table.ts'

type Cell = (value: number | null, quantity: Quantity, path: string, signed?: boolean, bound?: number) => string

/** What the plan changes and costs, for a terminal: the groups of the report, then the steps of the restricted recipe. */
export function priceText(findings: Findings, cell: Cell): string {
  const groups = priceGroups.filter((group) => group.applies(findings)).map((group) => groupText(findings, group, cell))
  return `\nWHAT IT CHANGES AND COSTS\n${groups.join('')}${correctionsText(findings)}`
}

function groupText(findings: Findings, { title, note, rows }: PriceGroup, cell: Cell): string {
  const lines = rows.map((row) => [
    row.label,
    cell(row.read(findings), row.quantity, row.path, !row.plain, row.bound?.(findings)),
    unitOfRow(row),
  ])
  return textTable([{ title: `${title} (${note})` }, { title: '', align: 'right' }, { title: '' }], lines)
}

function correctionsText(findings: Findings): string {
  return restrictedAnswers(findings)
    .map(({ name, answer }) => {
      const ends = answerWords(answer)
      const head = `  ${name}${ends === null ? '' : `: ${ends}`} (an interpretation)\n`
      const nothing = wrapped(nothingToCorrect, 100, '    · ', '      ')
      const steps = answer.corrections.map((step) =>
        wrapped(`${stepWords(step)}. ${costWords(step)}`, 100, '    · ', '      '),
      )
      return `${head}${steps.length === 0 ? nothing : steps.join('\n')}\n`
    })
    .join('')
}
