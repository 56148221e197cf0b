import { shapeLines } from '../../report/shape-lines.ts'
import { Section } from '../parts/section.tsx'
import { notThere } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'

/** Fits and shapes of the femur that are no landmarks. */
export function ShapesSection() {
  const findings = useWorkbenchState((state) => state.findings)
  if (!findings) return null
  return (
    <Section title="Fits and shapes">
      <dl className="shape-lines">
        {shapeLines(findings).map(({ label, words }) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{words ?? notThere}</dd>
          </div>
        ))}
      </dl>
    </Section>
  )
}
