import { useState } from 'react'
import type { Failure } from '../../failure.ts'
import { jsonText } from '../../report/findings-json.ts'
import { drawnByDefault, seriesSvg, usualSeriesOutputs } from '../../report/series-svg.ts'
import { seriesCsv } from '../../report/study-csv.ts'
import { seriesDocument } from '../../report/study-json.ts'
import { parseLoadSeries } from '../../studies/load-series.ts'
import { Dialog } from '../frame/dialog.tsx'
import { FailureMessage } from '../parts/failure-message.tsx'
import { text } from '../text/messages.ts'
import { useWorkbench } from '../workbench.ts'
import { OutputChoices } from './output-choices.tsx'
import { SaveStudy } from './save-study.tsx'
import { StudyProgress } from './study-progress.tsx'
import { SvgPicture } from './svg-picture.tsx'
import { useStudy } from './use-study.ts'

/** Bearing contact and interface pressure along forces over time that the user brings as a table. */
export function SeriesDialog() {
  const { store, host } = useWorkbench()
  const study = useStudy('load-series')
  const [failure, setFailure] = useState<Failure | null>(null)
  const [chosen, setChosen] = useState<readonly string[] | null>(null)
  const close = () => store.getState().showStudy(null)
  const load = async () => {
    const [file] = await host.chooseFiles('table')
    if (!file) return
    const moments = parseLoadSeries(await file.text())
    setFailure(moments.ok ? null : moments.failure)
    if (moments.ok) study.run({ document: store.getState().history.present, moments: moments.value })
  }
  const series = study.output
  const shown = chosen ?? (series ? drawnByDefault(series) : usualSeriesOutputs)
  const chart = series ? seriesSvg(series, shown) : null
  const names = series ? series.columns.slice(1, -1).map(({ name }) => name) : []
  const refused = failure ?? study.failure
  return (
    <Dialog label="Load series" className="study" onClose={close}>
      <h2 className="dialog-title">Load series</h2>
      <p className="footnote">
        CSV with time and axial_N, and any of lateral_N, anterior_N, at_lateral_mm, flexion_deg: the force of the femur
        on the insert, in the tray’s axes. Cuts, components and how they face each other stay as the case has them.
      </p>
      <button type="button" className="button strong" disabled={study.progress !== null} onClick={() => void load()}>
        Choose a table…
      </button>
      <StudyProgress progress={study.progress} onCancel={study.cancel} />
      {refused ? <FailureMessage failure={refused} /> : null}
      {series && chart ? (
        <>
          <OutputChoices all={names} names={shown} verb="drawn" least={1} onChange={setChosen} />
          <SvgPicture label={`Load series: ${shown.join(', ')}`} svg={chart} />
        </>
      ) : null}
      <div className="dialog-buttons">
        <SaveStudy
          name="series"
          csv={series && ((format) => seriesCsv(series, format))}
          json={series && (() => jsonText(seriesDocument(series)))}
          svg={chart?.ok ? chart.value : null}
        />
        <button type="button" className="button" onClick={close}>
          {text.close}
        </button>
      </div>
    </Dialog>
  )
}
