import type { ReactNode, Ref } from 'react'

interface SectionProps {
  readonly title: string
  readonly aside?: ReactNode | undefined
  readonly children: ReactNode
  readonly ref?: Ref<HTMLElement>
}

/** A titled group of the controls or of the ledger. */
export function Section({ title, aside, children, ref }: SectionProps) {
  return (
    <section ref={ref} className="section" aria-label={title}>
      <h2 className="section-title">
        {title}
        {aside ? <span className="section-aside">{aside}</span> : null}
      </h2>
      {children}
    </section>
  )
}
