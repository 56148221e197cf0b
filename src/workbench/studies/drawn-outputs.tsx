import { outputWords } from '../../report/output-words.ts'

interface DrawnOutputsProps {
  /** Every number there is. */
  readonly all: readonly string[]
  readonly names: readonly string[]
  readonly onChange: (names: readonly string[]) => void
}

/** Which numbers a chart draws; one at least. */
export function DrawnOutputs({ all, names, onChange }: DrawnOutputsProps) {
  return (
    <details className="output-choices">
      <summary>
        {names.length} of {all.length} numbers drawn
      </summary>
      <div className="output-list">
        {all.map((name) => (
          <label key={name}>
            <input
              type="checkbox"
              checked={names.includes(name)}
              disabled={names.length === 1 && names.includes(name)}
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
