import { femoralCutIds, isFemoral, type Procedure } from '../../planning/terms.ts'
import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { Segmented } from '../parts/segmented.tsx'
import { handledCuts } from '../scene/cut-handles.ts'
import { cutText } from '../text/cut-words.ts'
import { cutLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { CaseNumberField } from './case-number-field.tsx'
import { departureFields } from './cut-fields.ts'

/** One femoral cut by itself: how it departs from its component's face, and what room or interference that leaves. */
export function CutAlone({ procedure }: { readonly procedure: Procedure }) {
  const { store } = useWorkbench()
  const active = useWorkbenchState((state) => state.activeCut)
  const alone = useWorkbenchState((state) => state.cutAlone)
  const departures = useWorkbenchState((state) => state.history.present.cuts.departures)
  const findings = useWorkbenchState((state) => state.findings)
  const cuts = femoralCutIds.filter((id) => handledCuts[procedure].includes(id))
  const id = isFemoral(active) && cuts.includes(active) ? active : null
  const departing = cuts.filter((cut) => cut !== id && Object.values(departures[cut]).some((value) => value !== 0))
  const others = departing.map((cut) => cutLabels[cut].toLowerCase()).join('; ')
  if (id === null)
    return (
      <Section title={cutText.cutAlone}>
        <p className="footnote">{others === '' ? cutText.cutAloneHint : cutText.departing(others)}</p>
      </Section>
    )
  const cut = findings?.cuts.find((c) => c.id === id)
  const at = `cuts.${id}`
  return (
    <Section title={cutText.cutAlone} aside={cutLabels[id].toLowerCase()}>
      <Segmented
        label={cutText.handlesMove}
        options={[
          { value: 'component', label: cutText.wholeComponent, hint: cutText.wholeComponentHint },
          { value: 'alone', label: cutText.thisCutAlone, hint: cutText.thisCutAloneHint },
        ]}
        value={alone ? 'alone' : 'component'}
        onChange={(how) => store.getState().moveCutAlone(how === 'alone')}
      />
      {Object.values(departureFields(id)).map((field) => (
        <CaseNumberField key={field.step} field={field} />
      ))}
      <dl className="pairs">
        <div className="pair">
          <dt>{cutText.roomUnder}</dt>
          <dd>
            <Figure value={cut?.gapMm} quantity="mm" path={`${at}.gapMm`} />
          </dd>
        </div>
        <div className="pair">
          <dt>{cutText.boneInside}</dt>
          <dd>
            <Figure value={cut?.interferenceMm} quantity="mm" path={`${at}.interferenceMm`} />
          </dd>
        </div>
        {id === 'femur-anterior' ? (
          <div className="pair">
            <dt>{cutText.notchThere}</dt>
            <dd>
              <Figure value={findings?.consequences.notchMm} quantity="mm" path="consequences.notchMm" signed />
            </dd>
          </div>
        ) : null}
      </dl>
      {others === '' ? null : <p className="footnote">{cutText.departing(others)}</p>}
    </Section>
  )
}
