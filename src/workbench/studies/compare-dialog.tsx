import { useEffect } from 'react'
import type { Result } from '../../failure.ts'
import type { Findings } from '../../findings.ts'
import { type RecipeName, recipeNames } from '../../planning/terms.ts'
import { Dialog } from '../frame/dialog.tsx'
import { openedBone } from '../store/bones-slice.ts'
import { recipeLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { type ComparisonRow, comparisonRows } from './comparison-rows.ts'
import { StudyProgress } from './study-progress.tsx'
import { useStudy } from './use-study.ts'

/** The four recipes side by side on this knee; one column can be taken over with a click. */
export function CompareDialog() {
  const { store } = useWorkbench()
  const { output, failure, progress, run, cancel } = useStudy('compare-recipes')
  const close = () => store.getState().showStudy(null)
  useEffect(() => {
    const state = store.getState()
    const fileWarnings = (['femur', 'tibia'] as const).flatMap((bone) => openedBone(state, bone)?.fileWarnings ?? [])
    run({ document: state.history.present, fileWarnings })
  }, [store, run])
  return (
    <Dialog label="Recipes compared" className="study" onClose={close}>
      <h2 className="dialog-title">Recipes compared</h2>
      <StudyProgress progress={progress} onCancel={cancel} />
      {failure ? <p role="alert">{failure.message}</p> : null}
      {output ? <ComparisonTable recipes={output.recipes} /> : null}
      <button type="button" className="button" onClick={close}>
        {text.close}
      </button>
    </Dialog>
  )
}

function ComparisonTable({ recipes }: { readonly recipes: Readonly<Record<RecipeName, Result<Findings>>> }) {
  const { store } = useWorkbench()
  const current = useWorkbenchState((state) => state.history.present.recipe)
  const pose = useWorkbenchState((state) => state.history.present.stance.pose)
  return (
    <table className="comparison">
      <thead>
        <tr>
          <th scope="col">each as the recipe says</th>
          {recipeNames.map((name) => (
            <th key={name} scope="col" data-current={name === current ? 'yes' : undefined}>
              {recipeLabels[name]}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {comparisonRows(pose).map((row) => (
          <tr key={row.label} data-begins={row.begins ? 'yes' : undefined}>
            <th scope="row">{row.label}</th>
            {recipeNames.map((name) => (
              <td key={name} data-current={name === current ? 'yes' : undefined}>
                <Cell row={row} result={recipes[name]} />
              </td>
            ))}
          </tr>
        ))}
        <tr>
          <th scope="row" />
          {recipeNames.map((name) => (
            <td key={name}>
              <button
                type="button"
                className="button chip"
                disabled={name === current || !recipes[name].ok}
                onClick={() => {
                  store
                    .getState()
                    .edit(`recipe ${recipeLabels[name].toLowerCase()}`, (document) => ({ ...document, recipe: name }))
                  store.getState().showStudy(null)
                }}
              >
                Use it
              </button>
            </td>
          ))}
        </tr>
      </tbody>
    </table>
  )
}

function Cell({ row, result }: { readonly row: ComparisonRow; readonly result: Result<Findings> }) {
  if (!result.ok) {
    return (
      <span className="spoiled" title={result.failure.message}>
        –
      </span>
    )
  }
  return <>{row.read(result.value)}</>
}
