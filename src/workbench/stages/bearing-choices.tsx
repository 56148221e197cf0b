import type { BearingChoices as Choices } from '../../loading/bearing-geometry.ts'
import { Segmented } from '../parts/segmented.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** The law of the elastic layer and whether the insert is dished: what a number cannot say. */
export function BearingChoices() {
  const { store } = useWorkbench()
  const law = useWorkbenchState((state) => state.history.present.bearing.law)
  const flat = useWorkbenchState((state) => state.history.present.bearing.flatInsert)
  const choose = (label: string, change: Partial<Choices>) =>
    store.getState().edit(label, (document) => ({ ...document, bearing: { ...document.bearing, ...change } }))
  return (
    <>
      <Segmented
        label="Pressure law"
        options={[
          { value: 'linear', label: 'Linear' },
          { value: 'logarithmic', label: 'Logarithmic' },
        ]}
        value={law}
        onChange={(next) => choose(`${next} pressure law`, { law: next })}
      />
      <Segmented
        label="Insert"
        options={[
          { value: 'dished', label: 'Dished' },
          { value: 'flat', label: 'Flat' },
        ]}
        value={flat ? 'flat' : 'dished'}
        onChange={(next) => choose(`${next} insert`, { flatInsert: next === 'flat' })}
      />
    </>
  )
}
