import { useState } from 'react'
import { newCase } from '../../casefile/document.ts'
import type { Failure } from '../../failure.ts'
import { FailureMessage } from '../parts/failure-message.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

const parts = [
  ['condyle', 'Own condyle surface…', 'Condyle surface from a mesh…', 'femoralCoronal', 'femoralSagittal'],
  ['dish', 'Own insert surface…', 'Insert surface from a mesh…', 'insertCoronal', 'insertSagittal'],
] as const

/** Bearing surfaces of the user's own, from tables with direction, place and height, or from meshes in tray axes. */
export function OwnProfiles() {
  const { store, host, opener } = useWorkbench()
  const own = useWorkbenchState((state) => state.history.present.bearing.own)
  const [failure, setFailure] = useState<Failure | null>(null)
  const entered = Object.values(own).filter((table) => table !== null).length
  const load = async ([part, , , coronal, sagittal]: (typeof parts)[number], from: 'table' | 'any') => {
    const [file] = await host.chooseFiles(from)
    if (!file) return
    const pair = await opener.run('read-profile', { file, name: file.name, part })
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
        <div key={part[0]}>
          <button type="button" className="button wide" onClick={() => void load(part, 'table')}>
            {part[1]}
          </button>
          <button type="button" className="button wide" onClick={() => void load(part, 'any')}>
            {part[2]}
          </button>
        </div>
      ))}
      <p className="footnote">
        CSV with direction (coronal, sagittal), at_mm, height_mm; or STL, PLY of one condyle or dish, mm, x lateral, y
        anterior, z up.
      </p>
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
