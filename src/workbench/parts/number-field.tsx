import { RotateCcw } from 'lucide-react'
import { type KeyboardEvent, useEffect, useId, useRef, useState } from 'react'
import { fieldUnit, formatNumber, parseNumber, type Quantity } from '../text/format.ts'
import { notThere, text } from '../text/messages.ts'

export interface NumberFieldProps {
  readonly label: string
  readonly value: number | null
  readonly quantity: Quantity
  readonly decimals?: number
  readonly step?: number
  readonly min?: number
  readonly max?: number
  /** Why the number cannot be given now. */
  readonly disabled?: string | null
  /** Said below the label, small. */
  readonly note?: string | undefined
  /** Present when the number differs from what it would be by itself. */
  readonly onReset?: (() => void) | undefined
  readonly onBegin: () => void
  readonly onUpdate: (value: number) => void
  readonly onCommit: () => void
  readonly onCancel: () => void
  /** What was typed is no number of this unit, or lies out of range: it is not taken. Absent: it is drawn to the range. */
  readonly onRefuse?: (why: string) => void
}

const settleAfterMs = 700

/** An exact number: type it, or step it with the arrow keys (Shift ×10, Alt ÷10); Escape takes the change back. */
export function NumberField(props: NumberFieldProps) {
  const { label, value, quantity, step = 0.5, disabled = null } = props
  const decimals = props.decimals ?? (quantity === 'N' ? 0 : 1)
  const id = useId()
  const [typed, setTyped] = useState<string | null>(null)
  const stepping = useRef<{ timer: ReturnType<typeof setTimeout>; value: number } | null>(null)
  const shown = typed ?? (value === null ? '' : formatNumber(value, decimals))
  const invalid = typed !== null && typed.trim() !== '' && parseNumber(typed) === null

  const endStepping = (how: 'commit' | 'cancel') => {
    if (!stepping.current) return
    clearTimeout(stepping.current.timer)
    stepping.current = null
    if (how === 'commit') props.onCommit()
    else props.onCancel()
  }
  const endRef = useRef(endStepping)
  endRef.current = endStepping
  useEffect(() => () => endRef.current('commit'), [])

  const clamp = (v: number) => Math.min(props.max ?? Infinity, Math.max(props.min ?? -Infinity, v))
  const stepBy = (amount: number) => {
    const from = stepping.current?.value ?? (typed === null ? value : parseNumber(typed)) ?? 0
    const next = clamp(Math.round((from + amount) * 1000) / 1000)
    if (stepping.current) clearTimeout(stepping.current.timer)
    else props.onBegin()
    setTyped(null)
    stepping.current = { value: next, timer: setTimeout(() => endRef.current('commit'), settleAfterMs) }
    props.onUpdate(next)
  }
  const commitTyped = () => {
    if (typed === null) return
    const number = parseNumber(typed)
    setTyped(null)
    const why = typed.trim() === '' ? null : whyNot(typed, number, props)
    if (why !== null && props.onRefuse) {
      props.onRefuse(why)
      return
    }
    if (number === null || (value !== null && formatNumber(value, decimals) === typed.trim())) return
    props.onBegin()
    props.onUpdate(clamp(number))
    props.onCommit()
  }
  const onKeyDown = (event: KeyboardEvent<HTMLInputElement>) => {
    const size = step * (event.shiftKey ? 10 : event.altKey ? 0.1 : 1)
    if (event.key === 'ArrowUp' || event.key === 'ArrowDown') {
      event.preventDefault()
      stepBy(event.key === 'ArrowUp' ? size : -size)
    } else if (event.key === 'Enter') {
      commitTyped()
      endStepping('commit')
    } else if (event.key === 'Escape') {
      if (typed !== null || stepping.current) event.stopPropagation()
      setTyped(null)
      endStepping('cancel')
    }
  }

  return (
    <div className="field" data-changed={props.onReset ? 'yes' : undefined}>
      <label htmlFor={id} className="field-label">
        {label}
        {props.note ? <span className="field-note">{props.note}</span> : null}
      </label>
      {props.onReset ? (
        <button
          type="button"
          className="field-reset"
          onClick={props.onReset}
          aria-label={text.resetTo(label)}
          title={text.resetTo(label)}
        >
          <RotateCcw aria-hidden size="1em" />
        </button>
      ) : null}
      <span className="field-box" data-invalid={invalid ? 'yes' : undefined}>
        <input
          id={id}
          role="spinbutton"
          inputMode="decimal"
          autoComplete="off"
          spellCheck={false}
          aria-valuenow={value ?? undefined}
          aria-valuemin={props.min}
          aria-valuemax={props.max}
          aria-valuetext={value === null ? undefined : `${formatNumber(value, decimals)} ${fieldUnit(quantity)}`}
          aria-invalid={invalid || undefined}
          disabled={disabled !== null}
          title={disabled ?? undefined}
          placeholder={notThere}
          value={shown}
          onChange={(event) => {
            endStepping('commit')
            setTyped(event.target.value)
          }}
          onFocus={(event) => event.target.select()}
          onBlur={() => {
            commitTyped()
            endStepping('commit')
          }}
          onKeyDown={onKeyDown}
        />
        <span aria-hidden className="field-unit">
          {fieldUnit(quantity)}
        </span>
      </span>
    </div>
  )
}

/** Why a typed text is not taken; null when it is. */
function whyNot(typed: string, number: number | null, { label, quantity, min, max }: NumberFieldProps): string | null {
  const unit = fieldUnit(quantity)
  const written = typed.replace(/[^a-z°²³]/gi, '')
  if (number === null) return `“${typed.trim()}” is not a number; ${label} stays as it was.`
  if (written !== '' && written !== unit && written !== 'deg')
    return `${label} is entered in ${unit === '' ? 'a bare number' : unit}; “${typed.trim()}” was not taken.`
  if (number < (min ?? -Infinity) || number > (max ?? Infinity)) {
    const range = `${formatNumber(min ?? -Infinity)} to ${formatNumber(max ?? Infinity)} ${unit}`.trim()
    return `${label} must be ${range}; ${typed.trim()} was not taken.`
  }
  return null
}
