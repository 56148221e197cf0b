import type { ReactNode } from 'react'
import type { Failure } from '../../failure.ts'

interface FailureMessageProps {
  readonly failure: Failure
  readonly children?: ReactNode
}

/** A sentence, where, what to do. */
export function FailureMessage({ failure, children }: FailureMessageProps) {
  return (
    <div className="failure" role="alert" data-code={failure.code}>
      <p className="failure-sentence">{failure.message}</p>
      {failure.place ? <p className="failure-place">{failure.place}</p> : null}
      {failure.hint ? <p className="failure-hint">{failure.hint}</p> : null}
      {children}
    </div>
  )
}
