import { useState } from 'react'
import { newCase } from '../../casefile/document.ts'
import { recipeNames } from '../../planning/terms.ts'
import { type ChanceRow, chanceRows, sawOffCsv } from '../../report/chances.ts'
import { type SawOff, usualDraws } from '../../studies/saw-off.ts'
import { Dialog } from '../frame/dialog.tsx'
import { sawErrorFields } from '../stages/case-fields.ts'
import { CaseNumberField } from '../stages/case-number-field.tsx'
import { formatQuantity, parseNumber } from '../text/format.ts'
import { notThere, recipeLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { TypedNumber } from './study-inputs.tsx'
import { StudyProgress } from './study-progress.tsx'
import { useStudy } from './use-study.ts'

const mostDraws = 1_000_000

/** Cut errors drawn many times: how often each limit and each tolerance holds, recipe by recipe. */
export function SawOffDialog() {
  const { store, host } = useWorkbench()
  const study = useStudy('saw-off')
  const [draws, setDraws] = useState(String(usualDraws))
  const document = useWorkbenchState((state) => state.history.present)
  const [of, setOf] = useState(document)
  const close = () => store.getState().showStudy(null)
  const count = parseNumber(draws)
  const ready = count !== null && Number.isInteger(count) && count >= 1 && count <= mostDraws
  const run = () => {
    if (!ready) return
    setOf(document)
    study.run({ document: { ...document, cuts: newCase.cuts }, draws: count })
  }
  const stale = study.output !== null && of !== document
  return (
    <Dialog label="What if the saw is off" className="study" onClose={close}>
      <h2 className="dialog-title">What if the saw is off</h2>
      <p className="footnote">
        Every cut errs in two angles and in depth, and the landmarks by their own uncertainty. Each recipe is as it
        says, without entered cuts; the draws are the same for the same seed ({document.seed}).
      </p>
      <form
        className="saw-off-form"
        onSubmit={(event) => {
          event.preventDefault()
          run()
        }}
      >
        {sawErrorFields.map((field) => (
          <CaseNumberField key={field.step} field={field} />
        ))}
        <TypedNumber label="Draws" value={draws} onChange={setDraws} />
        <button type="submit" className="button strong" disabled={!ready || study.progress !== null}>
          Run
        </button>
      </form>
      <StudyProgress progress={study.progress} onCancel={study.cancel} />
      {study.failure ? <p role="alert">{study.failure.message}</p> : null}
      {stale ? <p className="footnote">The case has changed since: run it again.</p> : null}
      {study.output ? <Chances study={study.output} /> : null}
      <div className="dialog-buttons">
        <button
          type="button"
          className="button"
          disabled={!study.output}
          onClick={() => study.output && void host.save('saw-off.csv', sawOffCsv(study.output, of), 'text/csv')}
        >
          Save as CSV…
        </button>
        <button type="button" className="button" onClick={close}>
          {text.close}
        </button>
      </div>
    </Dialog>
  )
}

function Chances({ study }: { readonly study: SawOff }) {
  const current = useWorkbenchState((state) => state.history.present.recipe)
  const first = recipeNames.map((name) => study[name]).find((result) => result.ok)
  return (
    <>
      <table className="comparison">
        <thead>
          <tr>
            <th scope="col">share of the draws</th>
            {recipeNames.map((name) => (
              <th key={name} scope="col" data-current={name === current ? 'yes' : undefined}>
                {recipeLabels[name]}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {chanceRows(study).map((row) => (
            <tr key={row.id} data-begins={row.id === 'limits.all' || row.id === 'sites.all' ? 'yes' : undefined}>
              <th scope="row">{row.words}</th>
              {recipeNames.map((name) => (
                <td key={name} data-current={name === current ? 'yes' : undefined}>
                  <Chance row={row} of={row.of[name]} />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      {recipeNames.map((name) => {
        const result = study[name]
        return result.ok ? null : (
          <p key={name} role="alert">
            {recipeLabels[name]}: {result.failure.message}
          </p>
        )
      })}
      {first?.ok ? <p className="footnote">{first.value.assumptions.join('. ')}.</p> : null}
    </>
  )
}

/** The share as a number and as a bar; where the value then lies stands in the tip. */
function Chance({ row, of }: { readonly row: ChanceRow; readonly of: ChanceRow['of'][keyof ChanceRow['of']] }) {
  if (of === null) return <span className="spoiled">{notThere}</span>
  const quantity = row.unit === 'deg' ? 'deg' : 'mm'
  const tip = of.spread
    ? `mean ${formatQuantity(of.spread.mean, quantity)}, SD ${formatQuantity(of.spread.sd, quantity)}; 5 to 95 %: ${formatQuantity(of.spread.low, quantity)} to ${formatQuantity(of.spread.high, quantity)}`
    : undefined
  return (
    <span className="chance" title={tip}>
      <meter min={0} max={1} value={of.share} aria-hidden />
      {formatQuantity(of.share, 'percent')}
      {tip ? <span className="visually-hidden"> ({tip})</span> : null}
    </span>
  )
}
