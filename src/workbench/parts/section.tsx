import type { ReactNode } from 'react'

interface SectionProps {
  readonly title: string
  readonly aside?: ReactNode | undefined
  readonly children: ReactNode
}

/** A titled group of the controls or of the ledger. */
export function Section({ title, aside, children }: SectionProps) {
  return (
    <section className="section" aria-label={title}>
      <h2 className="section-title">
        {title}
        {aside ? <span className="section-aside">{aside}</span> : null}
      </h2>
      {children}
    </section>
  )
}
