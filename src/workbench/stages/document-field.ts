import type { CaseDocument } from '../../casefile/document.ts'
import type { Findings } from '../../findings.ts'
import type { Quantity } from '../text/format.ts'

/** A number of the case that can be typed, stepped, dragged and put back. */
export interface DocumentField {
  readonly label: string
  /** As the step is called in undo: "tibia varus". */
  readonly step: string
  readonly quantity: Quantity
  readonly decimals?: number
  readonly by?: number
  readonly min?: number
  readonly max?: number
  readonly note?: string
  /** null: left to the recipe or to the pose; `shown` then says what that gives. */
  readonly read: (document: CaseDocument) => number | null
  readonly shown?: (findings: Findings) => number | null
  readonly write: (document: CaseDocument, value: number | null) => CaseDocument
  /** What reset puts back; null leaves it to the recipe again. Absent: nothing to reset to. */
  readonly initial?: number | null
}
