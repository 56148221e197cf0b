import type { Findings } from '../../findings.ts'
import { boundBeside } from '../../report/bounded.ts'
import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import type { Quantity } from '../text/format.ts'
import { cutLabels } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'

interface PriceRow {
  readonly label: string
  readonly path: string
  readonly quantity: Quantity
  readonly read: (findings: Findings) => number | null | undefined
  readonly plain?: boolean
}

const changes: readonly PriceRow[] = [
  {
    label: 'Femoral joint line, medial',
    path: 'after.jointLineShiftMedialMm',
    quantity: 'mm',
    read: (f) => f.after.jointLineShiftMedialMm,
  },
  {
    label: 'Femoral joint line, lateral',
    path: 'after.jointLineShiftLateralMm',
    quantity: 'mm',
    read: (f) => f.after.jointLineShiftLateralMm,
  },
  {
    label: 'Tibial surface, medial',
    path: 'consequences.tibialShiftMedialMm',
    quantity: 'mm',
    read: (f) => f.consequences.tibialShiftMedialMm,
  },
  {
    label: 'Tibial surface, lateral',
    path: 'consequences.tibialShiftLateralMm',
    quantity: 'mm',
    read: (f) => f.consequences.tibialShiftLateralMm,
  },
  {
    label: 'Posterior offset, medial',
    path: 'consequences.posteriorOffsetChangeMedialMm',
    quantity: 'mm',
    read: (f) => f.consequences.posteriorOffsetChangeMedialMm,
  },
  {
    label: 'Posterior offset, lateral',
    path: 'consequences.posteriorOffsetChangeLateralMm',
    quantity: 'mm',
    read: (f) => f.consequences.posteriorOffsetChangeLateralMm,
  },
  {
    label: 'Leg length',
    path: 'consequences.legLengthChangeMm',
    quantity: 'mm',
    read: (f) => f.consequences.legLengthChangeMm,
  },
  { label: 'Anterior notch', path: 'consequences.notchMm', quantity: 'mm', read: (f) => f.consequences.notchMm },
]

const fit: readonly PriceRow[] = [
  {
    label: 'Section covered',
    path: 'coverage.fraction',
    quantity: 'percent',
    read: (f) => f.coverage?.fraction,
    plain: true,
  },
  {
    label: 'Largest overhang',
    path: 'coverage.largestOverhangMm',
    quantity: 'mm',
    read: (f) => f.coverage?.largestOverhangMm,
    plain: true,
  },
  {
    label: 'Largest uncovered rim',
    path: 'coverage.largestGapMm',
    quantity: 'mm',
    read: (f) => f.coverage?.largestGapMm,
    plain: true,
  },
]

const slack: readonly PriceRow[] = [
  {
    label: 'Straight, medial',
    path: 'gaps.slackMm.extensionMedial',
    quantity: 'mm',
    read: (f) => f.gaps?.slackMm.extensionMedial,
  },
  {
    label: 'Straight, lateral',
    path: 'gaps.slackMm.extensionLateral',
    quantity: 'mm',
    read: (f) => f.gaps?.slackMm.extensionLateral,
  },
  {
    label: 'Bent, medial',
    path: 'gaps.slackMm.flexionMedial',
    quantity: 'mm',
    read: (f) => f.gaps?.slackMm.flexionMedial,
  },
  {
    label: 'Bent, lateral',
    path: 'gaps.slackMm.flexionLateral',
    quantity: 'mm',
    read: (f) => f.gaps?.slackMm.flexionLateral,
  },
]

/** What the plan changes: joint line, offset, length, cover, and the geometric slack with its caveat. */
export function PriceSections() {
  return (
    <>
      <Corrections />
      <EachCut />
      <Rows title="Before to after" aside="proximal, longer, more +" rows={changes} />
      <Rows title="Tray on the bone" rows={fit} />
      <Rows title="Slack" aside="geometric: no ligament, no laxity" rows={slack} />
    </>
  )
}

/** What each cut takes by itself: anterior and chamfer cuts have no site, but a thickness, a face and a volume. */
function EachCut() {
  const findings = useWorkbenchState((state) => state.findings)
  if (!findings) return null
  return (
    <Section title="Each cut" aside="thickest, mean, face, volume; kerf included">
      <table className="each-cut">
        <tbody>
          {findings.cuts.map((cut) => {
            const at = `cuts.${cut.id}`
            const bound = boundBeside(findings, cut.bone, cut.removedBoundMm3)
            return (
              <tr key={cut.id}>
                <th scope="row">{cutLabels[cut.id]}</th>
                <td>
                  <Figure value={cut.greatestMm} quantity="mm" path={`${at}.greatestMm`} />
                </td>
                <td>
                  <Figure value={cut.meanMm} quantity="mm" path={`${at}.meanMm`} />
                </td>
                <td>
                  <Figure value={cut.sectionMm2} quantity="mm2" path={`${at}.sectionMm2`} />
                </td>
                <td>
                  <Figure value={cut.removedMm3} quantity="cm3" path={`${at}.removedMm3`} bound={bound} />
                </td>
              </tr>
            )
          })}
        </tbody>
      </table>
    </Section>
  )
}

interface RowsProps {
  readonly title: string
  readonly aside?: string
  readonly rows: readonly PriceRow[]
}

function Rows({ title, aside, rows }: RowsProps) {
  const findings = useWorkbenchState((state) => state.findings)
  return (
    <Section title={title} aside={aside}>
      <dl className="pairs">
        {rows.map((row) => (
          <div key={row.path} className="pair">
            <dt>{row.label}</dt>
            <dd>
              <Figure
                value={findings ? row.read(findings) : undefined}
                quantity={row.quantity}
                path={row.path}
                signed={!row.plain}
              />
            </dd>
          </div>
        ))}
      </dl>
    </Section>
  )
}

/** Each step of the restricted recipe: which limit, which bone, how many degrees, and what it costs at the sites. */
function Corrections() {
  const corrections = useWorkbenchState((state) => state.findings?.corrections)
  const recipe = useWorkbenchState((state) => state.history.present.recipe)
  if (recipe !== 'restricted') return null
  return (
    <Section title="Corrections" aside="an interpretation">
      {corrections?.length ? (
        <ol className="corrections">
          {corrections.map((step, k) => (
            <li key={`${step.limit} ${step.bone} ${step.deg}`}>
              <strong>
                {step.bone} <Figure value={step.deg} quantity="deg" path={`corrections.${k}.deg`} signed />
              </strong>{' '}
              for {step.limit}
              <span className="correction-cost">
                {Object.entries(step.siteDeltaMm)
                  .filter(([, mm]) => Math.abs(mm) >= 0.05)
                  .map(
                    ([site, mm]) => `${site.replaceAll('-', ' ')} ${mm > 0 ? '+' : '−'}${Math.abs(mm).toFixed(1)} mm`,
                  )
                  .join(', ')}
              </span>
            </li>
          ))}
        </ol>
      ) : (
        <p className="footnote">Nothing to correct: the kinematic cuts lie inside the entered limits.</p>
      )}
    </Section>
  )
}
