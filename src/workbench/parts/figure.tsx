import { spoiling } from '../../report/spoiled.ts'
import { formatBounded, formatQuantity, type Quantity } from '../text/format.ts'
import { notThere } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'

interface FigureProps {
  readonly value: number | null | undefined
  readonly quantity: Quantity
  /** Where the number stands in the findings: its warnings are looked up there. */
  readonly path: string
  readonly signed?: boolean
  readonly className?: string
  /** How far the number may be from the truth; written behind it with ±. */
  readonly bound?: number | undefined
}

/** A number of the findings. One that is withheld or spoiled is hatched and says why. */
export function Figure({ value, quantity, path, signed = false, className = '', bound }: FigureProps) {
  const reason = useReason(path, value)
  const shown =
    value === null || value === undefined
      ? notThere
      : bound === undefined
        ? formatQuantity(value, quantity, { signed })
        : formatBounded(value, quantity, bound)
  if (!reason) return <span className={`figure ${className}`}>{shown}</span>
  return (
    <span className={`figure spoiled ${className}`} title={reason}>
      {shown}
      <span className="visually-hidden"> ({reason})</span>
    </span>
  )
}

/** Why this number is not to be trusted or not there; null when it stands. */
export function useReason(path: string, value: number | null | undefined): string | null {
  const findings = useWorkbenchState((state) => state.findings)
  const failure = useWorkbenchState((state) => state.failure)
  if (!findings) return failure ? failure.message : null
  const spoilers = spoiling(findings.warnings, path)
  if (spoilers.length > 0) return spoilers.map((warning) => warning.message).join(' ')
  return value === null ? 'Withheld: what it needs is missing.' : null
}
