import { coronalTypeWords } from '../../anatomy/coronal-type.ts'
import { poseCheckWords } from '../../anatomy/relative-pose.ts'
import type { KneeAngles } from '../../anatomy/terms.ts'
import type { Findings } from '../../findings.ts'
import { explain } from '../../report/explanations.ts'
import { shownPlusMinus } from '../../report/intervals.ts'
import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { formatQuantity } from '../text/format.ts'
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
      <details className="angle">
        <summary>
          <span className="angle-name">Coronal type</span>
          <span className="angle-value">{type ?? notThere}</span>
          <span className="angle-words">{type ? coronalTypeWords(type) : ''}</span>
        </summary>
        <AngleBody path="angles.coronalType" isNumber={false} />
      </details>
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
  const judged = findings?.relativePose
  return (
    <details className="angle">
      <summary>
        <span className="angle-name">Pose on the files</span>
        <span className="angle-value">{pose ? '' : notThere}</span>
      </summary>
      <dl className="pairs pose-rows">
        {poseRows.map(([key, label, quantity]) => (
          <div className="pair" key={key}>
            <dt>{label}</dt>
            <dd>
              <Figure value={pose?.[key] ?? null} quantity={quantity} path={`angles.kneePose.${key}`} />{' '}
              {pose && findings?.intervals ? shownPlusMinus(findings, `angles.kneePose.${key}`, quantity) : ''}
            </dd>
          </div>
        ))}
      </dl>
      {judged && judged.checks.length > 0 ? <PoseChecks judged={judged} /> : null}
    </details>
  )
}

/** The table by which a pose of the files is believed or refused, and what to do with a refused one. */
function PoseChecks({ judged }: { readonly judged: Findings['relativePose'] }) {
  return (
    <>
      <table className="pose-checks">
        <caption className="footnote">Believed only where all of these hold (common practice, no source)</caption>
        <tbody>
          {judged.checks.map(({ id, value, unit, low, high, within }) => (
            <tr key={id} data-within={within ? 'yes' : 'no'}>
              <th scope="row">{poseCheckLabels[id]}</th>
              <td>
                {within ? '' : '✕ '}
                {formatQuantity(value, unit)}
              </td>
              <td>
                {signed(low)} to {signed(high)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {judged.shared ? null : (
        <p className="footnote">
          {judged.reason} HKA, convergence and gaps stay withheld; what each bone tells alone stays. Cuts are planned
          per bone and the stance poses both bones straight by their own frames: enter the standing convergence there.
          To have the pose of the files, open both bones out of one scan of the straight leg.
        </p>
      )}
    </>
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
          <span className="angle-interval">
            {findings?.intervals && typeof value === 'number' ? shownPlusMinus(findings, path, 'deg') : ''}
          </span>
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

const signed = (value: number): string => String(value).replace('-', '−')

const poseCheckLabels = Object.fromEntries(
  Object.entries(poseCheckWords).map(([id, words]) => {
    const bare = words.replace(/^the /, '')
    return [id, bare.charAt(0).toUpperCase() + bare.slice(1)]
  }),
) as typeof poseCheckWords
