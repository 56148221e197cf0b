import { Dialog } from '../frame/dialog.tsx'
import { caution, stageLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { Drawing } from './drawings.tsx'
import { glossary } from './glossary.ts'
import { lessonNotes } from './lesson-notes.ts'
import { stageNotes } from './stage-notes.ts'

/** The open stage's models and sources, every word with a drawing, the caution, the licences. */
export function HelpDialog() {
  const { store } = useWorkbench()
  const open = useWorkbenchState((state) => state.helpOpen)
  const stage = useWorkbenchState((state) => state.stage)
  if (!open) return null
  const close = () => store.getState().showHelp(false)
  const notes = stageNotes[stage]
  return (
    <Dialog label="Help" className="study help" onClose={close}>
      <h2 className="dialog-title">{stageLabels[stage]}</h2>
      <p>{notes.what}</p>
      <h3 className="section-title help-heading">Behind the numbers</h3>
      <ul className="help-models">
        {notes.models.map((model) => (
          <li key={model}>{model}</li>
        ))}
      </ul>
      <h3 className="section-title help-heading">Lessons</h3>
      <ul className="help-models">
        {lessonNotes.map((note) => (
          <li key={note}>{note}</li>
        ))}
      </ul>
      <h3 className="section-title help-heading">Words</h3>
      <dl className="glossary">
        {glossary.map(({ term, meaning, drawing }) => (
          <div key={term} className="term">
            <Drawing name={drawing} />
            <dt>{term}</dt>
            <dd>{meaning}</dd>
          </div>
        ))}
      </dl>
      <h3 className="section-title help-heading">Caution</h3>
      <p>{caution}</p>
      <h3 className="section-title help-heading">Licences</h3>
      <p>
        Typeface: Inter, SIL Open Font License 1.1. Libraries: three, three-mesh-bvh, React, React Three Fiber, zustand,
        zod, fflate, earcut, commander (MIT or ISC), Lucide icons (ISC).
      </p>
      <button type="button" className="button" onClick={close}>
        {text.close}
      </button>
    </Dialog>
  )
}
