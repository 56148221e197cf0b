import { X } from 'lucide-react'
import { FailureMessage } from '../parts/failure-message.tsx'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** What went wrong and what is under way, at the top of the view; nothing here takes anything away. */
export function Notices() {
  const { store } = useWorkbench()
  const notices = useWorkbenchState((state) => state.notices)
  const openings = useWorkbenchState((state) => state.openings)
  const calculation = useWorkbenchState((state) => (state.history.gesture ? null : state.calculation))
  const exporting = useWorkbenchState((state) => state.exporting)
  if (notices.length === 0 && openings.length === 0 && !exporting && !calculation) return null
  return (
    <div className="notices">
      {openings.map((opening) => (
        <div key={opening.id} className="opening" role="status">
          <span className="opening-name">Opening {opening.name}</span>
          <span className="opening-stage">{opening.progress.stage}</span>
          <progress aria-label={`Opening ${opening.name}`} value={opening.progress.fraction} max={1} />
          <button type="button" className="button" onClick={opening.cancel}>
            {text.cancel}
          </button>
        </div>
      ))}
      {exporting ? (
        <div className="opening" role="status">
          <span className="opening-name">{text.writingLesson(exporting.step + 1, exporting.of)}</span>
          <progress
            aria-label={text.writingLesson(exporting.step + 1, exporting.of)}
            value={exporting.step}
            max={exporting.of}
          />
          <button type="button" className="button" onClick={exporting.cancel}>
            {text.cancel}
          </button>
        </div>
      ) : null}
      {calculation ? (
        <div className="opening" role="status">
          <span className="opening-name">Calculating</span>
          <span className="opening-stage">{calculation.progress.stage}</span>
          <progress aria-label="Calculating" value={calculation.progress.fraction} max={1} />
          <button type="button" className="button" onClick={calculation.cancel}>
            {text.cancel}
          </button>
        </div>
      ) : null}
      {notices.map(({ id, failure }) => (
        <div key={id} className="notice">
          <FailureMessage failure={failure} />
          <button
            type="button"
            className="button quiet"
            aria-label={text.dismiss}
            title={text.dismiss}
            onClick={() => store.getState().dismiss(id)}
          >
            <X aria-hidden size="1.1em" />
          </button>
        </div>
      ))}
    </div>
  )
}
