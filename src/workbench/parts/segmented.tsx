import { useId } from 'react'

export interface SegmentedProps<T extends string> {
  readonly label: string
  readonly options: readonly { readonly value: T; readonly label: string; readonly hint?: string }[]
  readonly value: T
  readonly onChange: (value: T) => void
  readonly columns?: number
  readonly hideLabel?: boolean
}

/** One of a few, all in sight. Radio buttons underneath, so that arrow keys and screen readers know what to do. */
export function Segmented<T extends string>({
  label,
  options,
  value,
  onChange,
  columns,
  hideLabel,
}: SegmentedProps<T>) {
  const name = useId()
  return (
    <fieldset className="segmented-set">
      <legend className={hideLabel ? 'visually-hidden' : 'field-label'}>{label}</legend>
      <div className="segmented" data-columns={columns ?? options.length}>
        {options.map((option) => (
          <label key={option.value} className="segment eases" title={option.hint}>
            <input
              type="radio"
              name={name}
              className="visually-hidden"
              checked={option.value === value}
              onChange={() => onChange(option.value)}
            />
            <span>{option.label}</span>
          </label>
        ))}
      </div>
    </fieldset>
  )
}
