import type { RecipeOptions } from '../../planning/terms.ts'
import { Segmented } from '../parts/segmented.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** What holds when sizes do not fit, and where an entered tibial depth starts; a total only. */
export function ReferencingChoices() {
  const { store } = useWorkbench()
  const procedure = useWorkbenchState((state) => state.history.present.procedure)
  const options = useWorkbenchState((state) => state.history.present.recipeOptions)
  const choose = (label: string, change: Partial<RecipeOptions>) =>
    store
      .getState()
      .edit(label, (document) => ({ ...document, recipeOptions: { ...document.recipeOptions, ...change } }))
  if (procedure !== 'total') return null
  return (
    <>
      <Segmented
        label="Femoral box held at"
        options={[
          { value: 'posterior', label: 'Posterior', hint: 'The posterior sites keep what the recipe takes.' },
          { value: 'anterior', label: 'Anterior', hint: 'The anterior cut meets the cortex; the posterior sites pay.' },
        ]}
        value={options.femoralReferencing}
        onChange={(femoralReferencing) => choose(`${femoralReferencing} referencing`, { femoralReferencing })}
      />
      <Segmented
        label="Entered tibial depth starts at"
        columns={3}
        options={[
          { value: 'lateral', label: 'Lateral' },
          { value: 'medial', label: 'Medial' },
          { value: 'mean', label: 'Mean' },
        ]}
        value={options.tibialDepthFrom}
        onChange={(tibialDepthFrom) => choose(`tibial depth from ${tibialDepthFrom}`, { tibialDepthFrom })}
      />
    </>
  )
}
