import { boundBeside } from '../../report/bounded.ts'
import {
  answerWords,
  costWords,
  nothingToCorrect,
  type PriceGroup,
  priceGroups,
  restrictedAnswers,
  stepWords,
} from '../../report/price.ts'
import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { useFindingsInSight } from '../parts/use-findings-in-sight.ts'
import { cutLabels } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'

/** What the plan changes: joint line, offset, length, cover, and the geometric slack with its caveat. */
export function PriceSections() {
  return (
    <>
      <Corrections />
      <EachCut />
      {priceGroups.map((group) => (
        <Rows key={group.title} group={group} />
      ))}
    </>
  )
}

/** What each cut takes by itself: anterior and chamfer cuts have no site, but a thickness, a face and a volume. */
function EachCut() {
  const { findings, ref } = useFindingsInSight()
  if (!findings) return null
  return (
    <Section ref={ref} title="Each cut" aside="thickest, mean, face, volume; kerf included">
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

function Rows({ group: { title, note, rows, applies } }: { readonly group: PriceGroup }) {
  const { findings, ref } = useFindingsInSight()
  if (findings && !applies(findings)) return null
  return (
    <Section ref={ref} title={title} aside={note}>
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
                bound={findings ? row.bound?.(findings) : undefined}
              />
            </dd>
          </div>
        ))}
      </dl>
    </Section>
  )
}

/** Both answers of the restricted recipe, step by step: which limit, which bone, how many degrees, and what it costs. */
function Corrections() {
  const { findings, ref } = useFindingsInSight()
  const used = useWorkbenchState((state) => state.history.present.recipeOptions.restrictedAnswer)
  const answers = findings ? restrictedAnswers(findings) : []
  if (answers.length === 0) return null
  return (
    <Section ref={ref} title="Corrections" aside="an interpretation">
      {answers.map(({ name, answer }, i) => (
        <div key={name} className="restricted-answer">
          <h4 className="field-label">
            {name}
            {answers.length > 1 && (used === 'smallest') === (i === 1) ? ' (in use)' : ''}
          </h4>
          {answerWords(answer) === null ? null : <p className="footnote">{answerWords(answer)}</p>}
          {answer.corrections.length > 0 ? (
            <ol className="corrections">
              {answer.corrections.map((step) => (
                <li key={`${step.limit} ${step.bone} ${step.deg}`}>
                  <strong>{stepWords(step)}</strong>
                  <span className="correction-cost">{costWords(step)}</span>
                </li>
              ))}
            </ol>
          ) : (
            <p className="footnote">{nothingToCorrect}</p>
          )}
        </div>
      ))}
    </Section>
  )
}
