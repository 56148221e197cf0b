import type { Findings } from '../findings.ts'
import { escaped } from './escaped.ts'
import {
  answerWords,
  costWords,
  nothingToCorrect,
  priceGroups,
  restrictedAnswers,
  stepWords,
  unitOfRow,
} from './price.ts'
import { number, table, text } from './report-table.ts'

/** What the plan changes and costs, as tables of the report: before to after, fit, gaps, corrections, a later total. */
export function priceHtml(findings: Findings): string {
  const cell = number(findings)
  const groups = priceGroups
    .filter((group) => group.applies(findings))
    .map(({ title, note, rows }) => {
      const lines = rows.map((row) => [
        text(row.label),
        cell(row.read(findings), row.quantity, row.path, !row.plain, row.bound?.(findings)),
        `<td>${unitOfRow(row)}</td>`,
      ])
      return table([`${title} (${note})`, '', ''], lines)
    })
  return `<div class="price">${groups.join('')}</div>${correctionsHtml(findings)}`
}

function correctionsHtml(findings: Findings): string {
  return restrictedAnswers(findings)
    .map(({ name, answer }) => {
      const ends = answerWords(answer)
      const rows = answer.corrections.map((step) => [text(stepWords(step)), text(costWords(step))])
      const steps = rows.length === 0 ? `<p>${nothingToCorrect}</p>` : table([name, 'Cost: more taken +'], rows)
      return `${rows.length === 0 ? `<h3>${escaped(name)}</h3>` : ''}${steps}${ends === null ? '' : `<p class="small">${escaped(name)}: ${escaped(ends)}. An interpretation.</p>`}`
    })
    .join('')
}
