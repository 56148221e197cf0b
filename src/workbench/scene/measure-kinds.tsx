import { Segmented } from '../parts/segmented.tsx'
import { measureKinds } from '../store/sight-slice.ts'
import { measureHints, measureLabels, sceneText } from '../text/scene-words.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** While measuring is on, what is measured and how. */
export function MeasureKinds() {
  const { store } = useWorkbench()
  const measuring = useWorkbenchState((state) => state.measuring)
  const kind = useWorkbenchState((state) => state.measureKind)
  if (!measuring) return null
  return (
    <div className="measure-kinds">
      <Segmented
        label={sceneText.measure}
        hideLabel
        options={measureKinds.map((value) => ({ value, label: measureLabels[value], hint: measureHints[value] }))}
        value={kind}
        onChange={(next) => store.getState().setMeasureKind(next)}
      />
      <p>{measureHints[kind]}</p>
    </div>
  )
}
