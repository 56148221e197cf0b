import { useState } from 'react'
import type { SavedStudy } from '../../casefile/document.ts'
import { type StablePath, stablePaths } from '../../casefile/stable-paths.ts'
import { jsonText } from '../../report/findings-json.ts'
import { outputWords } from '../../report/output-words.ts'
import { sweepCsv } from '../../report/study-csv.ts'
import { sweepDocument } from '../../report/study-json.ts'
import { studySvg, usualOutputs } from '../../report/study-svg.ts'
import { outputs } from '../../studies/outputs.ts'
import { type Sweep, sweepPoints, type Vary } from '../../studies/sweep.ts'
import { Dialog } from '../frame/dialog.tsx'
import { FailureMessage } from '../parts/failure-message.tsx'
import { parseNumber } from '../text/format.ts'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { OutputChoices } from './output-choices.tsx'
import { SaveStudy } from './save-study.tsx'
import { SavedStudies } from './saved-studies.tsx'
import { Choice, TypedNumber } from './study-inputs.tsx'
import { StudyProgress } from './study-progress.tsx'
import { pathLabel } from './study-words.ts'
import { SvgPicture } from './svg-picture.tsx'
import { useSweep } from './use-sweep.ts'

const paths = (Object.keys(stablePaths) as StablePath[]).filter((path) => stablePaths[path].kind === 'number')

const outputNames = outputs.map(({ name }) => name)

interface Typed {
  readonly path: string
  readonly from: string
  readonly to: string
  readonly step: string
}

const first: Typed = { path: 'cuts.tibia.varusDeg', from: '-5', to: '12', step: '1' }
const second: Typed = { path: 'cuts.tibia.slopeDeg', from: '0', to: '10', step: '2' }

const typedOf = ({ path, from, to, step }: Vary): Typed => ({
  path,
  from: String(from),
  to: String(to),
  step: String(step),
})

function varyOf({ path, from, to, step }: Typed): Vary | null {
  const [a, b, c] = [from, to, step].map(parseNumber)
  return a === null || b === null || c === null || a === undefined || b === undefined || c === undefined
    ? null
    : { path, from: a, to: b, step: c }
}

/** Findings along one parameter or two: chosen, run in workers of their own, drawn with the entered limits, kept in the case. */
export function SweepDialog() {
  const { store } = useWorkbench()
  const study = useSweep()
  const document = useWorkbenchState((state) => state.history.present)
  const [varied, setVaried] = useState<readonly Typed[]>([first])
  const [shown, setShown] = useState<readonly string[]>(usualOutputs.slice(0, 1))
  const close = () => store.getState().showStudy(null)
  const vary = varied.map(varyOf)
  const ready = vary.every((one) => one !== null)
  const points = ready ? sweepPoints(vary) : null
  const start = (of: readonly Vary[]) => study.run(store.getState().history.present, of)
  const change = (k: number, part: Partial<Typed>) =>
    setVaried(varied.map((one, i) => (i === k ? { ...one, ...part } : one)))
  const open = ({ vary: kept, outputs: drawn }: SavedStudy) => {
    setVaried(kept.map(typedOf))
    setShown(drawn.length > 0 ? drawn : usualOutputs)
    start(kept)
  }
  const chart = study.output ? studySvg(study.output, document, shown) : null
  return (
    <Dialog label="Sweep" className="study" onClose={close}>
      <h2 className="dialog-title">Sweep {varied.length === 1 ? 'one parameter' : 'two parameters'}</h2>
      <SavedStudies vary={ready ? (vary as readonly Vary[]) : null} outputs={shown} onOpen={open} />
      <form
        onSubmit={(event) => {
          event.preventDefault()
          if (ready) start(vary)
        }}
      >
        {varied.map((one, k) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: the first and the second parameter
          <fieldset key={k} className="sweep-form" aria-label={k === 0 ? 'First parameter' : 'Second parameter'}>
            <Choice
              label="Vary"
              value={one.path}
              options={paths.map((p) => [p, pathLabel(p)])}
              onChange={(path) => change(k, { path })}
            />
            {(['from', 'to', 'step'] as const).map((key) => (
              <TypedNumber key={key} label={key} value={one[key]} onChange={(value) => change(k, { [key]: value })} />
            ))}
            {k === 0 ? (
              <button type="submit" className="button strong" disabled={!ready || study.progress !== null}>
                Run
              </button>
            ) : (
              <button type="button" className="button" onClick={() => setVaried(varied.slice(0, 1))}>
                Leave out
              </button>
            )}
          </fieldset>
        ))}
        {varied.length === 1 ? (
          <button type="button" className="button chip" onClick={() => setVaried([...varied, second])}>
            And a second parameter
          </button>
        ) : null}
      </form>
      {points && !points.ok ? <FailureMessage failure={points.failure} /> : null}
      <StudyProgress progress={study.progress} onCancel={study.cancel} />
      {study.kept ? (
        <p className="footnote" role="status">
          {study.kept}
        </p>
      ) : null}
      {study.failure ? <FailureMessage failure={study.failure} /> : null}
      <OutputChoices all={outputNames} names={shown} verb="drawn" least={1} onChange={setShown} />
      {study.output && chart ? <SweepChart sweep={study.output} shown={shown} chart={chart} /> : null}
      <div className="dialog-buttons">
        <SaveStudy
          name="sweep"
          csv={study.output && ((format) => sweepCsv(study.output!, format))}
          json={study.output && (() => jsonText(sweepDocument(study.output!)))}
          svg={chart?.ok ? chart.value : null}
        />
        <button type="button" className="button" onClick={close}>
          {text.close}
        </button>
      </div>
    </Dialog>
  )
}

interface SweepChartProps {
  readonly sweep: Sweep
  readonly shown: readonly string[]
  readonly chart: ReturnType<typeof studySvg>
}

function SweepChart({ sweep, shown, chart }: SweepChartProps) {
  const over = sweep.vary.map(({ path }) => pathLabel(path)).join(' and ')
  const failed = sweep.rows.filter((row) => typeof row.at(-1) === 'string').length
  return (
    <>
      <SvgPicture label={`${shown.map(outputWords).join(', ')} over ${over}`} svg={chart} />
      {failed > 0 ? (
        <p className="footnote">{failed} points have no number: the plan there is refused or withheld.</p>
      ) : null}
    </>
  )
}
