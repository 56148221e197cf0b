import { useState } from 'react'
import { type StablePath, stablePaths } from '../../casefile/stable-paths.ts'
import { csvFormats } from '../../report/csv-format.ts'
import { sweepCsv } from '../../report/study-csv.ts'
import { outputs } from '../../studies/outputs.ts'
import type { Sweep } from '../../studies/sweep.ts'
import { LineChart } from '../charts/line-chart.tsx'
import { Dialog } from '../frame/dialog.tsx'
import { parseNumber } from '../text/format.ts'
import { text } from '../text/messages.ts'
import { useWorkbench } from '../workbench.ts'
import { Choice, TypedNumber } from './study-inputs.tsx'
import { StudyProgress } from './study-progress.tsx'
import { outputLabel, pathLabel } from './study-words.ts'
import { useStudy } from './use-study.ts'

const paths = (Object.keys(stablePaths) as StablePath[]).filter((path) => stablePaths[path].kind === 'number')

/** Findings along one parameter: chosen, run in a worker of its own, drawn, saved as the CSV the command line writes. */
export function SweepDialog() {
  const { store, host } = useWorkbench()
  const study = useStudy('sweep')
  const [path, setPath] = useState<StablePath>('cuts.tibia.varusDeg')
  const [range, setRange] = useState({ from: '-5', to: '12', step: '1' })
  const [output, setOutput] = useState('stance.trayToFloorCoronalDeg')
  const close = () => store.getState().showStudy(null)
  const numbers = [range.from, range.to, range.step].map(parseNumber)
  const ready = numbers.every((n) => n !== null)
  const run = () => {
    const [from, to, step] = numbers as [number, number, number]
    study.run({ document: store.getState().history.present, vary: [{ path, from, to, step }] })
  }
  return (
    <Dialog label="Sweep" className="study" onClose={close}>
      <h2 className="dialog-title">Sweep one parameter</h2>
      <form
        className="sweep-form"
        onSubmit={(event) => {
          event.preventDefault()
          if (ready) run()
        }}
      >
        <Choice
          label="Vary"
          value={path}
          options={paths.map((p) => [p, pathLabel(p)])}
          onChange={(p) => setPath(p as StablePath)}
        />
        {(['from', 'to', 'step'] as const).map((key) => (
          <TypedNumber
            key={key}
            label={key}
            value={range[key]}
            onChange={(value) => setRange({ ...range, [key]: value })}
          />
        ))}
        <button type="submit" className="button strong" disabled={!ready || study.progress !== null}>
          Run
        </button>
      </form>
      <StudyProgress progress={study.progress} onCancel={study.cancel} />
      {study.failure ? <p role="alert">{study.failure.message}</p> : null}
      {study.output ? (
        <>
          <Choice
            label="Show"
            value={output}
            options={outputs.map(({ name, unit }) => [name, outputLabel(name, unit)])}
            onChange={setOutput}
          />
          <SweepChart sweep={study.output} output={output} />
        </>
      ) : null}
      <div className="dialog-buttons">
        <button
          type="button"
          className="button"
          disabled={!study.output}
          onClick={() =>
            study.output &&
            void host.save('sweep.csv', sweepCsv(study.output, csvFormats[store.getState().csvFormat]), 'text/csv')
          }
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

function SweepChart({ sweep, output }: { readonly sweep: Sweep; readonly output: string }) {
  const column = sweep.columns.findIndex((c) => c.name === output)
  const [vary] = sweep.vary
  const unit = sweep.columns[column]?.unit ?? ''
  const points = sweep.rows.map((row) => {
    const y = row[column]
    return { x: Number(row[0]), y: typeof y === 'number' ? y : null }
  })
  const failed = points.filter((p) => p.y === null).length
  return (
    <>
      <LineChart
        label={`${outputLabel(output, unit)} over ${pathLabel(vary?.path ?? '')}`}
        xLabel={pathLabel(vary?.path ?? '')}
        yLabel={outputLabel(output, unit)}
        series={[{ label: output, points }]}
      />
      {failed > 0 ? (
        <p className="footnote">{failed} points have no number: the plan there is refused or withheld.</p>
      ) : null}
    </>
  )
}
