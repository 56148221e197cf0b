import { useState } from 'react'
import type { SavedStudy } from '../../casefile/document.ts'
import type { Vary } from '../../studies/sweep.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { pathLabel } from './study-words.ts'

interface SavedStudiesProps {
  /** What would be kept; null while a number is not one. */
  readonly vary: readonly Vary[] | null
  readonly outputs: readonly string[]
  readonly onOpen: (study: SavedStudy) => void
}

/** Studies that the case keeps: run again, thrown away, or the present one kept under a name. */
export function SavedStudies({ vary, outputs, onOpen }: SavedStudiesProps) {
  const { store } = useWorkbench()
  const studies = useWorkbenchState((state) => state.history.present.studies)
  const [name, setName] = useState('')
  const change = (label: string, next: readonly SavedStudy[]) =>
    store.getState().edit(label, (document) => ({ ...document, studies: next }))
  const keep = () => {
    const called = name.trim()
    if (called === '' || vary === null) return
    change(`study ${called}`, [...studies.filter((study) => study.name !== called), { name: called, vary, outputs }])
    setName('')
  }
  return (
    <section className="saved-studies" aria-label="Studies of the case">
      {studies.map((study) => (
        <div key={study.name} className="saved-study">
          <button type="button" className="button chip" onClick={() => onOpen(study)}>
            Run “{study.name}”
          </button>
          <span className="footnote">{study.vary.map(({ path }) => pathLabel(path)).join(' and ')}</span>
          <button
            type="button"
            className="button chip"
            aria-label={`Throw “${study.name}” away`}
            onClick={() =>
              change(
                `study ${study.name} thrown away`,
                studies.filter((other) => other.name !== study.name),
              )
            }
          >
            Throw away
          </button>
        </div>
      ))}
      <form
        className="saved-study"
        onSubmit={(event) => {
          event.preventDefault()
          keep()
        }}
      >
        <input
          className="typed-number"
          aria-label="Name of the study"
          placeholder="Name, to keep this study in the case"
          maxLength={100}
          value={name}
          onChange={(event) => setName(event.target.value)}
        />
        <button type="submit" className="button chip" disabled={name.trim() === '' || vary === null}>
          Keep it
        </button>
      </form>
    </section>
  )
}
