import { describe, expect, it } from 'vitest'
import { textTable, wrapped } from '../../src/cli/text-table.ts'

describe('a text table', () => {
  it('sets numbers to the right under their head and leaves no trailing blanks', () => {
    const text = textTable(
      [{ title: 'site' }, { title: 'mm', align: 'right' }],
      [
        ['tibia', '8.0'],
        ['femur distal', '−10.25'],
      ],
    )
    expect(text).toBe(
      ['  site              mm', '  ────────────  ──────', '  tibia            8.0', '  femur distal  −10.25', ''].join(
        '\n',
      ),
    )
  })

  it('wraps words and keeps a word longer than the line whole', () => {
    expect(wrapped('one two three', 9, '', '  ')).toBe('one two\n  three\n')
    expect(wrapped('a verylongword', 6, '', '')).toBe('a\nverylongword\n')
  })
})
