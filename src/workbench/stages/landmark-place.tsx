import { useState } from 'react'
import { boneOfLandmark, type LandmarkId } from '../../anatomy/terms.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import { NumberField } from '../parts/number-field.tsx'
import { handText } from '../text/hand-words.ts'
import { landmarkLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

const axisNames = ['X', 'Y', 'Z'] as const

/** The chosen landmark's exact place in its file's own coordinates: the way by keyboard of putting it. */
export function LandmarkPlace({ id }: { readonly id: LandmarkId }) {
  const { store } = useWorkbench()
  const label = landmarkLabels[id]
  const own = useWorkbenchState((state) =>
    boneOfLandmark(id) === 'femur' ? state.femurAnatomy?.landmarks[id] : state.tibiaAnatomy?.landmarks[id],
  )
  const override = useWorkbenchState((state) => state.history.present.landmarks[id])
  // Where nothing was found a place is made number by number, and counts once it has all three.
  const [begun, setBegun] = useState<readonly (number | null)[]>([null, null, null])
  const mm: readonly (number | null)[] = override?.mm ?? own?.mm ?? begun
  const step = `move ${label.toLowerCase()}`
  const put = (axis: number, value: number) => {
    const next = mm.map((old, k) => (k === axis ? value : old))
    if (next.some((v) => v === null)) {
      setBegun(next)
      return
    }
    store.getState().update((document) => ({
      ...document,
      landmarks: { ...document.landmarks, [id]: { mm: next as unknown as Vec3, source: 'set' } },
    }))
  }
  return (
    <fieldset className="exact-place">
      <legend className="footnote">{handText.placeOf}</legend>
      {axisNames.map((name, axis) => (
        <NumberField
          key={name}
          label={name}
          value={mm[axis] ?? null}
          quantity="mm"
          min={-1e5}
          max={1e5}
          onBegin={() => store.getState().begin(step)}
          onUpdate={(value) => put(axis, value)}
          onCommit={() => store.getState().commit(step)}
          onCancel={() => store.getState().cancel()}
        />
      ))}
    </fieldset>
  )
}
