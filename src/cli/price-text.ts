import type { Findings } from '../findings.ts'
import { boundBeside } from '../report/bounded.ts'
import type { Quantity } from '../report/numbers.ts'
import { answerWords, costWords, type PriceGroup, priceGroups, restrictedAnswers, stepWords } from '../report/price.ts'
import { textTable, wrapped } from './text-table.ts'

type Cell = (value: number | null, quantity: Quantity, path: string, signed?: boolean, bound?: number) => string

/** What the plan changes and costs, for a terminal: the groups of the report, then the steps of the restricted recipe. */
export function priceText(findings: Findings, cell: Cell): string {
  const groups = priceGroups.filter((group) => group.applies(findings)).map((group) => groupText(findings, group, cell))
  return `\nWHAT IT CHANGES AND COSTS\n${groups.join('')}${correctionsText(findings)}`
}

function groupText(findings: Findings, { title, note, rows }: PriceGroup, cell: Cell): string {
  const lines = rows.map((row) => {
    const bound =
      row.path === 'conversion.tibialBoneLeftMm3'
        ? boundBeside(findings, 'tibia', findings.conversion?.tibialBoneLeftBoundMm3 ?? null)
        : undefined
    return [row.label, cell(row.read(findings), row.quantity, row.path, !row.plain, bound), units[row.quantity] ?? '']
  })
  return textTable([{ title: `${title} (${note})` }, { title: '', align: 'right' }, { title: '' }], lines)
}

const units: Readonly<Partial<Record<Quantity, string>>> = { mm: 'mm', deg: '°', cm3: 'cm³', percent: '%' }

function correctionsText(findings: Findings): string {
  return restrictedAnswers(findings)
    .map(({ name, answer }) => {
      const ends = answerWords(answer)
      const head = `  ${name}${ends === null ? '' : `: ${ends}`} (an interpretation)\n`
      const nothing = wrapped(
        'nothing to correct: the kinematic cuts lie inside the entered limits',
        100,
        '    · ',
        '      ',
      )
      const steps = answer.corrections.map((step) =>
        wrapped(`${stepWords(step)}. ${costWords(step)}`, 100, '    · ', '      '),
      )
      return `${head}${steps.length === 0 ? nothing : steps.join('\n')}\n`
    })
    .join('')
}
