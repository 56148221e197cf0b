import { useEffect, useId, useState } from 'react'
import type { CaseDocument } from '../../casefile/document.ts'
import type { Result } from '../../failure.ts'
import { type RecipeName, recipeNames } from '../../planning/terms.ts'
import { comparedCsv, comparedSvg, comparedValue, comparedWords } from '../../report/compared.ts'
import { outputWords } from '../../report/output-words.ts'
import {
  type ComparedRow,
  comparedRows,
  comparisonOutputs,
  type RecipeResults,
  usualComparison,
} from '../../studies/compare-recipes.ts'
import { Dialog } from '../frame/dialog.tsx'
import { Segmented } from '../parts/segmented.tsx'
import { enteredCells } from '../stages/cut-fields.ts'
import { openedBone } from '../store/bones-slice.ts'
import { recipeLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { OutputChoices } from './output-choices.tsx'
import { StudyProgress } from './study-progress.tsx'
import { SvgPicture } from './svg-picture.tsx'
import { useStudy } from './use-study.ts'

const outputNames = comparisonOutputs.map(({ name }) => name)

const enteredIn = ({ cuts }: CaseDocument): boolean => enteredCells(cuts) > 0

/** The four recipes side by side on this knee: chosen numbers, from a baseline, as table or small multiples. */
export function CompareDialog() {
  const { store, host } = useWorkbench()
  const { output, failure, progress, run, cancel } = useStudy('compare-recipes')
  const current = useWorkbenchState((state) => state.history.present.recipe)
  const pose = useWorkbenchState((state) => state.history.present.stance.pose)
  const [entered] = useState(() => enteredIn(store.getState().history.present))
  const [cuts, setCuts] = useState<'recipe' | 'entered'>('recipe')
  const [baseline, setBaseline] = useState<RecipeName | null>(null)
  const [names, setNames] = useState<readonly string[]>(usualComparison)
  const [shape, setShape] = useState<'table' | 'multiples'>('table')
  const close = () => store.getState().showStudy(null)
  useEffect(() => {
    const state = store.getState()
    const fileWarnings = (['femur', 'tibia'] as const).flatMap((bone) => openedBone(state, bone)?.fileWarnings ?? [])
    run({ document: state.history.present, fileWarnings, asRecipesSay: cuts === 'recipe' })
  }, [store, run, cuts])
  const save = (make: typeof comparedCsv, name: string, type: string) => {
    if (!output) return
    const made: Result<string> = make(output.recipes, names, baseline, pose)
    if (made.ok) void host.save(name, made.value, type)
  }
  return (
    <Dialog label="Recipes compared" className="study" onClose={close}>
      <h2 className="dialog-title">Recipes compared</h2>
      <div className="compare-choices">
        <Segmented
          label="Shown as"
          options={[
            { value: 'table', label: 'Table' },
            { value: 'multiples', label: 'Small multiples' },
          ]}
          value={shape}
          onChange={setShape}
        />
        <BaselineChoice value={baseline} onChange={setBaseline} />
        {entered ? (
          <Segmented
            label="Cuts"
            options={[
              { value: 'recipe', label: 'As each recipe says' },
              { value: 'entered', label: 'With those entered' },
            ]}
            value={cuts}
            onChange={setCuts}
          />
        ) : null}
      </div>
      <OutputChoices all={outputNames} names={names} verb="shown" onChange={setNames}>
        <button type="button" className="button chip" onClick={() => setNames(usualComparison)}>
          The usual ones
        </button>
      </OutputChoices>
      <StudyProgress progress={progress} onCancel={cancel} />
      {failure ? <p role="alert">{failure.message}</p> : null}
      {output ? (
        shape === 'table' ? (
          <ComparisonTable recipes={output.recipes} names={names} baseline={baseline} />
        ) : (
          <SvgPicture label="Small multiples" svg={comparedSvg(output.recipes, names, baseline, pose)} />
        )
      ) : null}
      <div className="dialog-buttons">
        {output ? (
          <>
            <button
              type="button"
              className="button"
              onClick={() => save(comparedCsv, 'recipes-compared.csv', 'text/csv')}
            >
              Save as CSV…
            </button>
            <button
              type="button"
              className="button"
              onClick={() => save(comparedSvg, 'recipes-compared.svg', 'image/svg+xml')}
            >
              Save as SVG…
            </button>
            {recipeNames
              .filter((name) => name !== current && output.recipes[name].ok)
              .map((name) => (
                <button
                  key={name}
                  type="button"
                  className="button"
                  aria-label={`Use ${recipeLabels[name].toLowerCase()}`}
                  onClick={() => {
                    const label = `recipe ${recipeLabels[name].toLowerCase()}`
                    store.getState().edit(label, (document) => ({ ...document, recipe: name }))
                    close()
                  }}
                >
                  Use {recipeLabels[name].toLowerCase()}
                </button>
              ))}
          </>
        ) : null}
        <button type="button" className="button" onClick={close}>
          {text.close}
        </button>
      </div>
    </Dialog>
  )
}

interface BaselineProps {
  readonly value: RecipeName | null
  readonly onChange: (value: RecipeName | null) => void
}

function BaselineChoice({ value, onChange }: BaselineProps) {
  const id = useId()
  return (
    <div className="choice">
      <label htmlFor={id}>Differences from</label>
      <select
        id={id}
        value={value ?? ''}
        onChange={(event) => onChange(event.target.value === '' ? null : (event.target.value as RecipeName))}
      >
        <option value="">no baseline</option>
        {recipeNames.map((name) => (
          <option key={name} value={name}>
            {recipeLabels[name]}
          </option>
        ))}
      </select>
    </div>
  )
}

interface TableProps {
  readonly recipes: RecipeResults
  readonly names: readonly string[]
  readonly baseline: RecipeName | null
}

function ComparisonTable({ recipes, names, baseline }: TableProps) {
  const current = useWorkbenchState((state) => state.history.present.recipe)
  const pose = useWorkbenchState((state) => state.history.present.stance.pose)
  const rows = comparedRows(recipes, names, baseline, pose)
  if (!rows.ok) return <p role="alert">{rows.failure.message}</p>
  return (
    <table className="comparison">
      <thead>
        <tr>
          <th scope="col">{baseline === null ? '' : `in brackets: less ${recipeLabels[baseline].toLowerCase()}`}</th>
          {recipeNames.map((name) => (
            <th key={name} scope="col" data-current={name === current ? 'yes' : undefined}>
              {recipeLabels[name]}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.value.map((row, k) => (
          <tr key={row.name} data-begins={groupOf(row) !== groupOf(rows.value[k - 1]) && k > 0 ? 'yes' : undefined}>
            <th scope="row">{outputWords(row.name)}</th>
            {recipeNames.map((name) => (
              <td key={name} data-current={name === current ? 'yes' : undefined}>
                <Cell row={row} recipe={name} baseline={baseline} result={recipes[name]} />
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  )
}

/** Removed, aligned, stands and loaded part from each other. */
const groupOf = (row: ComparedRow | undefined): string =>
  row === undefined ? '' : /^(volumes|sites|coverage)/.test(row.name) ? 'removed' : (row.name.split('.')[0] ?? '')

interface CellProps {
  readonly row: ComparedRow
  readonly recipe: RecipeName
  readonly baseline: RecipeName | null
  readonly result: RecipeResults[RecipeName]
}

function Cell({ row, recipe, baseline, result }: CellProps) {
  const words = comparedWords(row, recipe)
  if (!result.ok)
    return (
      <span className="spoiled" title={result.failure.message}>
        {words}
      </span>
    )
  if (baseline === null || recipe === baseline) return <>{words}</>
  return (
    <>
      {words} <span className="compared-less">({comparedValue(row, row.differences[recipe], true)})</span>
    </>
  )
}
