import { type AnatomyLimits, defaultAnatomyLimits } from '../../anatomy/flags.ts'
import { limitWords } from '../../report/flag-words.ts'
import { Section } from '../parts/section.tsx'
import { useWorkbenchState } from '../workbench.ts'
import { CaseNumberField } from './case-number-field.tsx'
import type { DocumentField } from './document-field.ts'

const labels: Readonly<Record<keyof AnatomyLimits, string>> = {
  constitutionalDeg: 'Constitutional varus or valgus',
  obliquityLowDeg: 'Joint line obliquity from',
  obliquityHighDeg: 'Joint line obliquity to',
  convergenceDeg: 'Joint line convergence',
  slopeLowDeg: 'Slope from',
  slopeHighDeg: 'Slope to',
  bowMm: 'Femoral bow',
  anteversionLowDeg: 'Anteversion from',
  anteversionHighDeg: 'Anteversion to',
  torsionLowDeg: 'Tibial torsion from',
  torsionHighDeg: 'Tibial torsion to',
  rotationDeg: 'Rotation of tibia to femur',
}

const fields: readonly DocumentField[] = (Object.keys(labels) as (keyof AnatomyLimits)[]).map((key) => ({
  label: labels[key],
  step: `limit of ${labels[key].toLowerCase()}`,
  quantity: key === 'bowMm' ? 'mm' : 'deg',
  initial: defaultAnatomyLimits[key],
  read: (document) => document.anatomyLimits[key],
  write: (document, value) => ({
    ...document,
    anatomyLimits: { ...document.anatomyLimits, [key]: value ?? defaultAnatomyLimits[key] },
  }),
}))

/** What about this anatomy the plain recipe was not made for, and the limits it is told by. */
export function FlagsSection() {
  const flags = useWorkbenchState((state) => state.findings?.flags)
  return (
    <Section title="Extreme anatomy" aside={flags && flags.length > 0 ? String(flags.length) : undefined}>
      {flags?.length === 0 ? <p className="footnote">Nothing lies beyond the limits entered.</p> : null}
      {flags && flags.length > 0 ? (
        <ul className="flags">
          {flags.map((flag) => (
            <li key={flag.id} data-flag={flag.id}>
              <p>
                <span aria-hidden="true">▲ </span>
                {flag.message} Limit: {limitWords(flag)}.
              </p>
              <p className="footnote">
                {flag.changes} {flag.doubt} ({flag.basis})
              </p>
            </li>
          ))}
        </ul>
      ) : null}
      <details className="angle">
        <summary>
          <span className="angle-name">Limits</span>
        </summary>
        <div className="angle-body">
          <p>Common practice, no source.</p>
          {fields.map((field) => (
            <CaseNumberField key={field.step} field={field} />
          ))}
        </div>
      </details>
    </Section>
  )
}
