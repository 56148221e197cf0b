import type { RecipeOptions } from '../../planning/terms.ts'
import { Segmented } from '../parts/segmented.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** The choices a recipe leaves open; only those of the chosen recipe are shown. */
export function RecipeOptionChoices() {
  const { store } = useWorkbench()
  const recipe = useWorkbenchState((state) => state.history.present.recipe)
  const options = useWorkbenchState((state) => state.history.present.recipeOptions)
  const choose = (label: string, change: Partial<RecipeOptions>) =>
    store
      .getState()
      .edit(label, (document) => ({ ...document, recipeOptions: { ...document.recipeOptions, ...change } }))
  if (recipe === 'anatomic') return null
  if (recipe === 'mechanical') {
    return (
      <Segmented
        label="Femoral rotation"
        options={[
          { value: 'three-external', label: '3° external' },
          { value: 'epicondylar', label: 'Epicondyles' },
        ]}
        value={options.mechanicalRotation}
        onChange={(mechanicalRotation) => choose('femoral rotation rule', { mechanicalRotation })}
      />
    )
  }
  return (
    <>
      {recipe === 'restricted' ? (
        <Segmented
          label="Answer when a limit is hit (an interpretation)"
          options={[
            { value: 'rule-of-thumb', label: 'Rule of thumb' },
            { value: 'smallest', label: 'Smallest' },
          ]}
          value={options.restrictedAnswer}
          onChange={(restrictedAnswer) => choose('restricted answer', { restrictedAnswer })}
        />
      ) : null}
      <Segmented
        label="Femoral flexion along"
        options={[
          { value: 'shaft', label: 'Distal shaft' },
          { value: 'mechanical', label: 'Mechanical axis' },
        ]}
        value={options.kinematicFlexion}
        onChange={(kinematicFlexion) => choose('femoral flexion rule', { kinematicFlexion })}
      />
      <Segmented
        label="Native slope"
        options={[
          { value: 'limited', label: 'Within 0…10°' },
          { value: 'released', label: 'Released' },
        ]}
        value={options.slopeReleased ? 'released' : 'limited'}
        onChange={(value) => choose('slope limit', { slopeReleased: value === 'released' })}
      />
    </>
  )
}
