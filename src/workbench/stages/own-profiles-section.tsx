import { useState } from 'react'
import { newCase } from '../../casefile/document.ts'
import type { Failure } from '../../failure.ts'
import { parseProfile } from '../../studies/profile-table.ts'
import { FailureMessage } from '../parts/failure-message.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

const parts = [
  ['condyle', 'Own condyle surface…', 'femoralCoronal', 'femoralSagittal'],
  ['dish', 'Own insert surface…', 'insertCoronal', 'insertSagittal'],
] as const

/** Bearing surfaces of the user's own, from tables with direction, place and height. */
export function OwnProfiles() {
  const { store, host } = useWorkbench()
  const own = useWorkbenchState((state) => state.history.present.bearing.own)
  const [failure, setFailure] = useState<Failure | null>(null)
  const entered = Object.values(own).filter((table) => table !== null).length
  const load = async ([part, , coronal, sagittal]: (typeof parts)[number]) => {
    const [file] = await host.chooseFiles('table')
    if (!file) return
    const pair = parseProfile(await file.text())
    setFailure(pair.ok ? null : pair.failure)
    if (!pair.ok) return
    const read = pair.value
    store.getState().edit(`own ${part} surface`, (document) => ({
      ...document,
      bearing: {
        ...document.bearing,
        own: {
          ...document.bearing.own,
          [coronal]: read.coronal ?? document.bearing.own[coronal],
          [sagittal]: read.sagittal ?? document.bearing.own[sagittal],
        },
      },
    }))
  }
  return (
    <>
      {parts.map((part) => (
        <button key={part[0]} type="button" className="button wide" onClick={() => void load(part)}>
          {part[1]}
        </button>
      ))}
      <p className="footnote">CSV with direction (coronal, sagittal), at_mm, height_mm.</p>
      {entered > 0 ? (
        <button
          type="button"
          className="button wide"
          onClick={() =>
            store.getState().edit('bearing surfaces of the family', (document) => ({
              ...document,
              bearing: { ...document.bearing, own: newCase.bearing.own },
            }))
          }
        >
          Back to the family’s surfaces ({entered} own)
        </button>
      ) : null}
      {failure ? <FailureMessage failure={failure} /> : null}
    </>
  )
}
