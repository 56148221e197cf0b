import type { KneeAngles } from '../../anatomy/terms.ts'
import { explain } from '../../report/explanations.ts'
import { shownPlusMinus } from '../../report/intervals.ts'
import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { notThere, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { AngleBody } from './angle-body.tsx'

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
  ['pdfaDeg', 'Posterior distal femoral angle'],
  ['anteversionDeg', 'Anteversion'],
  ['tibialTorsionDeg', 'Tibial torsion'],
]

/** The native angles with their 95 % intervals; each opens what it rests on, what it is made of and what it would be otherwise. */
export function AnglesTable() {
  const type = useWorkbenchState((state) => state.findings?.angles.coronalType)
  return (
    <Section title="Angles" aside="native, ± 95 %">
      <ul className="angle-list">
        {rows.map(([key, label]) => (
          <AngleRow key={key} name={key} label={label} />
        ))}
      </ul>
      <dl className="pairs angle-type">
        <div className="pair">
          <dt>Coronal type</dt>
          <dd>{type ?? notThere}</dd>
        </div>
      </dl>
      <PoseOnFiles />
    </Section>
  )
}

const poseRows = [
  ['flexionDeg', 'Flexion', 'deg'],
  ['varusDeg', 'Varus', 'deg'],
  ['externalRotationDeg', 'External rotation', 'deg'],
  ['lateralMm', 'Tibia lateral by', 'mm'],
  ['anteriorMm', 'Tibia anterior by', 'mm'],
  ['proximalMm', 'Tibia proximal by', 'mm'],
] as const

/** How the tibia lies against the femur in the files; where that is not plausible the warning says why. */
function PoseOnFiles() {
  const findings = useWorkbenchState((state) => state.findings)
  const pose = findings?.angles.kneePose
  return (
    <details className="angle">
      <summary>
        <span className="angle-name">Pose on the files</span>
        <span className="angle-value">{pose ? '' : notThere}</span>
      </summary>
      <dl className="pairs">
        {poseRows.map(([key, label, quantity]) => (
          <div className="pair" key={key}>
            <dt>{label}</dt>
            <dd>
              <Figure value={pose?.[key] ?? null} quantity={quantity} path={`angles.kneePose.${key}`} />{' '}
              {findings?.intervals ? shownPlusMinus(findings, `angles.kneePose.${key}`, quantity) : ''}
            </dd>
          </div>
        ))}
      </dl>
    </details>
  )
}

function AngleRow({ name, label }: { readonly name: keyof KneeAngles & string; readonly label: string }) {
  const { store } = useWorkbench()
  const findings = useWorkbenchState((state) => state.findings)
  const value = findings?.angles[name] as number | null | undefined
  const path = `angles.${name}`
  return (
    <li>
      <details className="angle">
        <summary>
          <span className="angle-name">{label}</span>
          <Figure value={value} quantity="deg" path={path} className="angle-value" pressed={false} />
          <span className="angle-interval">{findings?.intervals ? shownPlusMinus(findings, path, 'deg') : ''}</span>
        </summary>
        <AngleBody path={path} />
        {explain(path) ? (
          <button type="button" className="button chip" onClick={() => store.getState().showExplanation(path)}>
            {text.modelAndSource}
          </button>
        ) : null}
      </details>
    </li>
  )
}
