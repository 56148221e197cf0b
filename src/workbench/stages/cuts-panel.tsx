import { RotateCcw } from 'lucide-react'
import { newCase } from '../../casefile/document.ts'
import { type CutId, recipeNames } from '../../planning/terms.ts'
import { CommandButton } from '../parts/command-button.tsx'
import { Section } from '../parts/section.tsx'
import { Segmented } from '../parts/segmented.tsx'
import { handledCuts } from '../scene/cut-handles.ts'
import { cutLabels, recipeLabels, recipeSentences } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { boneAndSawFields, limitFields, slopeField } from './case-fields.ts'
import { CaseNumberField } from './case-number-field.tsx'
import { ComponentChoices } from './component-choices.tsx'
import { CutAlone } from './cut-alone.tsx'
import { enteredCells, femoralCutFields, tibialFieldsOf } from './cut-fields.ts'
import type { DocumentField } from './document-field.ts'
import { PriceSections } from './price-section.tsx'
import { RecipeOptionChoices } from './recipe-option-choices.tsx'
import { ReferencingChoices } from './referencing-choices.tsx'

/** Recipe, cuts by exact number, components, what the saw and wear take, limits. */
export function CutsPanel() {
  const { store } = useWorkbench()
  const recipe = useWorkbenchState((state) => state.history.present.recipe)
  const procedure = useWorkbenchState((state) => state.history.present.procedure)
  const depthFrom = useWorkbenchState((state) => state.history.present.recipeOptions.tibialDepthFrom)
  const activeCut = useWorkbenchState((state) => state.activeCut)
  const slopeMatters = recipe === 'mechanical' || recipe === 'anatomic'
  return (
    <>
      <Section title="Recipe">
        <Segmented
          label="Recipe"
          hideLabel
          columns={2}
          options={recipeNames.map((name) => ({ value: name, label: recipeLabels[name], hint: recipeSentences[name] }))}
          value={recipe}
          onChange={(next) =>
            store
              .getState()
              .edit(`recipe ${recipeLabels[next].toLowerCase()}`, (document) => ({ ...document, recipe: next }))
          }
        />
        <p className="footnote">{recipeSentences[recipe]}</p>
        <BackToRecipe />
        <CommandButton id="study.compare" className="wide" />
        <CommandButton id="study.saw-off" className="wide" />
      </Section>
      <Section title="Procedure">
        <Segmented
          label="Procedure"
          hideLabel
          options={[
            { value: 'total', label: 'Total' },
            { value: 'medial-partial', label: 'Medial partial' },
          ]}
          value={procedure}
          onChange={(next) =>
            store.getState().edit(`procedure ${next === 'total' ? 'total' : 'medial partial'}`, (document) => ({
              ...document,
              procedure: next,
            }))
          }
        />
      </Section>
      <Section title="Handles on">
        <Segmented
          label="Cut with handles"
          hideLabel
          columns={2}
          options={handledCuts[procedure].map((id) => ({
            value: id,
            label: handleLabels[id] ?? cutLabels[id],
            hint: cutLabels[id],
          }))}
          value={handledCuts[procedure].includes(activeCut) ? activeCut : 'tibia'}
          onChange={(cut) => store.getState().chooseCut(cut)}
        />
      </Section>
      <CutAlone procedure={procedure} />
      <FieldSection title="Tibial cut" fields={tibialFieldsOf(procedure, depthFrom)} />
      <FieldSection title="Femoral component" aside="its five cuts follow" fields={Object.values(femoralCutFields)} />
      <ComponentChoices />
      <FieldSection title="Bone and saw" fields={boneAndSawFields} />
      <FieldSection title="Limits" aside="common practice, editable" fields={limitFields} />
      <Section title="Recipe options">
        {slopeMatters ? <CaseNumberField field={slopeField} /> : null}
        <RecipeOptionChoices />
        <ReferencingChoices />
      </Section>
      <PriceSections />
    </>
  )
}

const handleLabels: Partial<Record<CutId, string>> = {
  tibia: 'Tibia',
  'femur-distal': 'Distal',
  'femur-posterior': 'Posterior',
  'femur-anterior': 'Anterior',
  'femur-chamfer-posterior': 'Posterior chamfer',
  'femur-chamfer-anterior': 'Anterior chamfer',
  'tibia-vertical': 'Vertical',
}

interface FieldSectionProps {
  readonly title: string
  readonly aside?: string
  readonly fields: readonly DocumentField[]
}

export function FieldSection({ title, aside, fields }: FieldSectionProps) {
  return (
    <Section title={title} {...(aside ? { aside } : {})}>
      {fields.map((field) => (
        <CaseNumberField key={field.step} field={field} />
      ))}
    </Section>
  )
}

function BackToRecipe() {
  const { store } = useWorkbench()
  const entered = useWorkbenchState((state) => enteredCells(state.history.present.cuts))
  if (entered === 0) return null
  return (
    <button
      type="button"
      className="button wide"
      onClick={() =>
        store.getState().edit('cuts back to the recipe', (document) => ({ ...document, cuts: newCase.cuts }))
      }
    >
      <RotateCcw aria-hidden size="1.1em" />
      Back to the recipe ({entered} entered)
    </button>
  )
}
