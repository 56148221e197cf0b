import type { ReactNode } from 'react'
import { outputWords } from '../../report/output-words.ts'

interface OutputChoicesProps {
  /** Every number there is. */
  readonly all: readonly string[]
  readonly names: readonly string[]
  /** What becomes of the chosen ones: "3 of 20 numbers drawn". */
  readonly verb: 'drawn' | 'shown'
  /** So many stay chosen. */
  readonly least?: number
  readonly onChange: (names: readonly string[]) => void
  readonly children?: ReactNode
}

/** Which numbers of a study a chart or a table has. */
export function OutputChoices({ all, names, verb, least = 0, onChange, children }: OutputChoicesProps) {
  return (
    <details className="output-choices">
      <summary>
        {names.length} of {all.length} numbers {verb}
      </summary>
      {children}
      <div className="output-list">
        {all.map((name) => (
          <label key={name}>
            <input
              type="checkbox"
              checked={names.includes(name)}
              disabled={names.length <= least && names.includes(name)}
              onChange={(event) =>
                onChange(event.target.checked ? [...names, name] : names.filter((other) => other !== name))
              }
            />
            {outputWords(name)}
          </label>
        ))}
      </div>
    </details>
  )
}
