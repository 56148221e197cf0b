import type { Findings } from '../findings.ts'
import { shownBounded } from './bounded.ts'
import { escaped } from './escaped.ts'
import { shownPlusMinus } from './intervals.ts'
import type { Quantity } from './numbers.ts'
import { spoiling } from './spoiled.ts'

/** One section of the report under its title; `body` is HTML. */
export const section = (title: string, body: string): string => `<section><h2>${escaped(title)}</h2>${body}</section>`

/** A table of finished cells; a column of numbers has its title over the numbers. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const kind = (i: number) => (rows[0]?.[i]?.startsWith('<td class="number') ? ' class="number"' : '')
  const titles = head.map((title, i) => `<th scope="col"${kind(i)}>${escaped(title)}</th>`).join('')
  return `<table><thead><tr>${titles}</tr></thead><tbody>${rows.map((row) => `<tr>${row.join('')}</tr>`).join('')}</tbody></table>`
}

/** A cell of words. */
export const text = (words: string): string => `<td>${escaped(words)}</td>`

/** What makes a number's cell. */
export type NumberCell = ReturnType<typeof number>

/** A number's cell; hatched with its reason where a warning spoils it. */
export const number =
  (findings: Findings) =>
  (value: number | null, quantity: Quantity, path: string, signed = false, bound?: number): string => {
    const reasons = spoiling(findings.warnings, path)
    const words = shownBounded(value, quantity, bound, signed)
    if (reasons.length === 0) return `<td class="number">${words}</td>`
    const numbers = reasons.map((reason) => findings.warnings.indexOf(reason) + 1).join(',')
    const why = escaped(reasons.map((reason) => reason.message).join(' '))
    return `<td class="number spoiled" title="${why}">${words}<sup>${numbers}</sup></td>`
  }

/** The cell of a 95 % interval beside its number. */
export const plusMinusCell = (findings: Findings, path: string, quantity: Quantity): string =>
  `<td class="number">${shownPlusMinus(findings, path, quantity)}</td>`

/** Short words about many things, in two columns of small type. */
export const remarks = (about: readonly (readonly [what: string, words: string])[]): string =>
  `<div class="remarks">${about.map(([what, words]) => `<p><b>${escaped(what)}</b> ${escaped(words)}</p>`).join('')}</div>`
