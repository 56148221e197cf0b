import type { CaseDocument } from './document.ts'

/** A document as it was, and the name of the step that left it. */
export interface Step {
  readonly document: CaseDocument
  readonly label: string
}

/** What can be undone and redone. A list of documents; structural sharing keeps a step at a few kB. */
export interface History {
  readonly past: readonly Step[]
  readonly present: CaseDocument
  readonly future: readonly Step[]
  /** The gesture under way: where it began and what it is called. */
  readonly gesture: Step | null
}

const longest = 200

/** A history that begins with this document. */
export const newHistory = (document: CaseDocument): History => ({
  past: [],
  present: document,
  future: [],
  gesture: null,
})

/** One named step to `next`; an equal document leaves no step. A gesture under way is committed first. */
export function editHistory(history: History, label: string, next: CaseDocument): History {
  const settled = history.gesture ? commitGesture(history) : history
  return step(settled, { document: settled.present, label }, next)
}

/** Opens a gesture: every update until commit is one step. A gesture already under way is committed first. */
export function beginGesture(history: History, label: string): History {
  const settled = history.gesture ? commitGesture(history) : history
  return { ...settled, gesture: { document: settled.present, label } }
}

/** Shows `next` without a step; outside a gesture it does nothing. */
export const updateGesture = (history: History, next: CaseDocument): History =>
  history.gesture ? { ...history, present: next } : history

/** Ends the gesture as one step, under the label it began with unless a better one is given by now. */
export function commitGesture(history: History, label?: string): History {
  const { gesture } = history
  if (!gesture) return history
  const next = history.present
  return step(
    { ...history, present: gesture.document, gesture: null },
    { document: gesture.document, label: label ?? gesture.label },
    next,
  )
}

/** Ends the gesture as if it had never been. */
export const cancelGesture = (history: History): History =>
  history.gesture ? { ...history, present: history.gesture.document, gesture: null } : history

/** One step back; a gesture under way is cancelled instead. With nothing to undo, the same history. */
export function undo(history: History): History {
  if (history.gesture) return cancelGesture(history)
  const last = history.past.at(-1)
  if (!last) return history
  return {
    past: history.past.slice(0, -1),
    present: last.document,
    future: [{ document: history.present, label: last.label }, ...history.future],
    gesture: null,
  }
}

/** One step forward again. With nothing to redo, or in a gesture, the same history. */
export function redo(history: History): History {
  const [first, ...rest] = history.future
  if (history.gesture || !first) return history
  return {
    past: [...history.past, { document: history.present, label: first.label }],
    present: first.document,
    future: rest,
    gesture: null,
  }
}

/** The last step taken back for good: it cannot be redone. With no step, or in a gesture, the same history. */
export function takeBack(history: History): History {
  const last = history.past.at(-1)
  if (history.gesture || !last) return history
  return { past: history.past.slice(0, -1), present: last.document, future: [], gesture: null }
}

/** A change that is no step, such as a named view: every document, past and to come, has it, so that undo does not take it away. */
export function changeAside(history: History, change: (document: CaseDocument) => CaseDocument): History {
  const changed = <T extends Step>(step: T): T => ({ ...step, document: change(step.document) })
  return {
    past: history.past.map(changed),
    present: change(history.present),
    future: history.future.map(changed),
    gesture: history.gesture && changed(history.gesture),
  }
}

function step(history: History, from: Step, next: CaseDocument): History {
  if (same(from.document, next)) return { ...history, present: from.document }
  return { past: [...history.past, from].slice(-longest), present: next, future: [], gesture: null }
}

/** Documents hold plain data only. */
const same = (a: CaseDocument, b: CaseDocument): boolean => a === b || JSON.stringify(a) === JSON.stringify(b)
