import { useId } from 'react'
import { parseNumber } from '../text/format.ts'

interface ChoiceProps {
  readonly label: string
  readonly value: string
  readonly options: readonly (readonly [string, string])[]
  readonly onChange: (value: string) => void
}

export function Choice({ label, value, options, onChange }: ChoiceProps) {
  const id = useId()
  return (
    <div className="choice">
      <label htmlFor={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onChange(event.target.value)}>
        {options.map(([option, words]) => (
          <option key={option} value={option}>
            {words}
          </option>
        ))}
      </select>
    </div>
  )
}

interface TypedNumberProps {
  readonly label: string
  readonly value: string
  readonly onChange: (value: string) => void
}

export function TypedNumber({ label, value, onChange }: TypedNumberProps) {
  const id = useId()
  return (
    <div className="choice">
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        className="typed-number"
        inputMode="decimal"
        value={value}
        aria-invalid={parseNumber(value) === null || undefined}
        onChange={(event) => onChange(event.target.value)}
      />
    </div>
  )
}
