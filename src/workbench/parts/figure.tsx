import { createContext, memo, type ReactNode, useContext } from 'react'
import { explain } from '../../report/explanations.ts'
import { spoiling } from '../../report/spoiled.ts'
import type { WorkbenchState } from '../store/state.ts'
import { formatBounded, formatQuantity, type Quantity } from '../text/format.ts'
import { notThere } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

interface FigureProps {
  readonly value: number | null | undefined
  readonly quantity: Quantity
  /** Where the number stands in the findings: its warnings are looked up there. */
  readonly path: string
  readonly signed?: boolean
  readonly className?: string
  /** How far the number may be from the truth; written behind it with ±. */
  readonly bound?: number | undefined
  /** False where the number stands inside something else that is pressed: no button within a button. */
  readonly pressed?: boolean
}

/** A number of the findings; pressed, it opens its model. One that is withheld or spoiled is hatched and says why. */
export const Figure = memo(function Figure(props: FigureProps) {
  const { value, quantity, path, signed = false, className = '', bound, pressed = true } = props
  const reason = useReason(path, value)
  const shown =
    value === null || value === undefined
      ? notThere
      : bound === undefined
        ? formatQuantity(value, quantity, { signed })
        : formatBounded(value, quantity, bound)
  const content = reason ? (
    <>
      {shown}
      <span className="visually-hidden"> ({reason})</span>
    </>
  ) : (
    shown
  )
  const name = `figure ${reason ? 'spoiled ' : ''}${className}`
  return !pressed || explain(path) === null ? (
    <span className={name} title={reason ?? undefined}>
      {content}
    </span>
  ) : (
    <Explainable path={path} className={name} title={reason ?? undefined}>
      {content}
    </Explainable>
  )
})

/** Whether numbers are being explained: asked once for all of them, not by each at every change of anything. */
export const ExplainingContext = createContext(false)

interface ExplainableProps {
  readonly path: string
  readonly className: string
  readonly title: string | undefined
  readonly children: ReactNode
}

/** Opens the number's model; in the round of the tab key only while numbers are being explained, for there are many. */
function Explainable({ path, className, title, children }: ExplainableProps) {
  const { store } = useWorkbench()
  const explaining = useContext(ExplainingContext)
  return (
    <button
      type="button"
      className={`explainable ${className}`}
      title={title}
      tabIndex={explaining ? 0 : -1}
      data-explaining={explaining ? 'yes' : undefined}
      onClick={() => store.getState().showExplanation(path)}
    >
      {children}
    </button>
  )
}

/** Why this number is not to be trusted or not there; null when it stands. */
export function useReason(path: string, value: number | null | undefined): string | null {
  const reason = useWorkbenchState((state) => whyNotStanding(state, path))
  return reason === '' && value === null ? 'Withheld: what it needs is missing.' : reason || null
}

/** '' for what the findings say without reserve; null while nothing is said at all. */
function whyNotStanding({ findings, failure }: WorkbenchState, path: string): string | null {
  if (!findings) return failure ? failure.message : null
  const { warnings } = findings
  const known = reasons.get(warnings) ?? new Map<string, string>()
  reasons.set(warnings, known)
  const reason =
    known.get(path) ??
    spoiling(warnings, path)
      .map((warning) => warning.message)
      .join(' ')
  known.set(path, reason)
  return reason
}

/** Every figure asks at every change of anything: each question about the same warnings is answered once. */
const reasons = new WeakMap<object, Map<string, string>>()
