import type { KneeAngles } from '../../anatomy/terms.ts'
import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { notThere } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'

const rows: readonly (readonly [keyof KneeAngles & string, string])[] = [
  ['hkaDeg', 'HKA'],
  ['arithmeticHkaDeg', 'Arithmetic HKA'],
  ['ldfaDeg', 'LDFA'],
  ['mptaDeg', 'MPTA'],
  ['mptaPlainDeg', 'MPTA, plain line'],
  ['jointLineObliquityDeg', 'Joint line obliquity'],
  ['jlcaDeg', 'Joint line convergence'],
  ['slopeMedialDeg', 'Slope, medial'],
  ['slopeLateralDeg', 'Slope, lateral'],
  ['posteriorCondylarDeg', 'Posterior condylar angle'],
]

/** The native angles, each under the definition chosen below. */
export function AnglesTable() {
  const angles = useWorkbenchState((state) => state.findings?.angles)
  return (
    <Section title="Angles" aside="native">
      <dl className="pairs">
        {rows.map(([key, label]) => (
          <div key={key} className="pair">
            <dt>{label}</dt>
            <dd>
              <Figure value={angles?.[key] as number | null | undefined} quantity="deg" path={`angles.${key}`} />
            </dd>
          </div>
        ))}
        <div className="pair">
          <dt>Coronal type</dt>
          <dd>{angles?.coronalType ?? notThere}</dd>
        </div>
      </dl>
    </Section>
  )
}
