import { X } from 'lucide-react'
import { useState } from 'react'
import type { Vec3 } from '../../geometry/vec.ts'
import { Segmented } from '../parts/segmented.tsx'
import { formatNumber, parseNumber } from '../text/format.ts'
import { handText } from '../text/hand-words.ts'
import { boneLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** The picked points, each to be taken away again, and the way by keyboard of adding one. */
export function HandPoints() {
  const { store } = useWorkbench()
  const points = useWorkbenchState((state) => state.handPoints)
  const bone = useWorkbenchState((state) => state.handBone)
  return (
    <>
      {points.length > 0 && bone ? (
        <ol className="hand-points" aria-label={handText.pointsOn(boneLabels[bone])}>
          {points.map((mm, k) => (
            <li key={mm.join()}>
              <span>
                {k + 1}. {mm.map((c) => formatNumber(c)).join(', ')}
              </span>
              <button
                type="button"
                className="field-reset"
                aria-label={handText.dropPoint(k + 1)}
                title={handText.dropPoint(k + 1)}
                onClick={() => store.getState().dropHandPoint(k)}
              >
                <X aria-hidden size="1em" />
              </button>
            </li>
          ))}
        </ol>
      ) : null}
      <PointEntry />
    </>
  )
}

function PointEntry() {
  const { store } = useWorkbench()
  const picked = useWorkbenchState((state) => state.handBone)
  const [chosen, setChosen] = useState<'femur' | 'tibia'>('femur')
  const [typed, setTyped] = useState('')
  const mm = typed
    .split(/[;\s]+|,\s+/)
    .filter(Boolean)
    .map(parseNumber)
  const whole = mm.length === 3 && mm.every((c) => c !== null)
  return (
    <form
      className="point-entry"
      onSubmit={(event) => {
        event.preventDefault()
        if (!whole) return
        store.getState().addHandPoint(picked ?? chosen, mm as unknown as Vec3)
        setTyped('')
      }}
    >
      {picked ? null : (
        <Segmented
          label={handText.onBone}
          hideLabel
          options={[
            { value: 'femur', label: boneLabels.femur },
            { value: 'tibia', label: boneLabels.tibia },
          ]}
          value={chosen}
          onChange={setChosen}
        />
      )}
      <input
        aria-label={handText.exactPoint}
        placeholder={handText.exactExample}
        value={typed}
        autoComplete="off"
        spellCheck={false}
        onChange={(event) => setTyped(event.target.value)}
      />
      <button type="submit" className="button" disabled={!whole} title={handText.exactHint}>
        {handText.add}
      </button>
    </form>
  )
}
