import { useId } from 'react'
import type { LoadingFindings } from '../../findings.ts'
import { type Activity, activities } from '../../loading/knee-force.ts'
import { recipeNames } from '../../planning/terms.ts'
import { besideLoads } from '../../report/beside-loads.ts'
import { useShownStance } from '../floor-strip/shown-stance.ts'
import { CommandButton } from '../parts/command-button.tsx'
import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { Segmented } from '../parts/segmented.tsx'
import { recipeLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { BearingChoices } from './bearing-choices.tsx'
import { BearingFigures } from './bearing-figures.tsx'
import { bearingFields, loadFields, ownDirectionFields } from './case-fields.ts'
import { CaseNumberField } from './case-number-field.tsx'
import { OwnProfiles } from './own-profiles-section.tsx'
import { PoseChoice } from './pose-choice.tsx'

const directions: readonly (readonly [LoadingFindings['direction'], string])[] = [
  ['vertical', 'Straight down'],
  ['tibial-axis', 'Along the tibia'],
  ['own', 'Own direction'],
]

const activityLabels: Readonly<Record<Activity, string>> = {
  pose: 'as the stance says',
  'two-legs': 'standing on two legs',
  'one-leg': 'standing on one leg',
  walking: 'walking, peak',
  'stairs-up': 'stairs up, peak',
  'stairs-down': 'stairs down, peak',
  'knee-bend': 'knee bend, peak',
  'stand-up': 'standing up, peak',
  'sit-down': 'sitting down, peak',
  'standard-peak': 'peak of a standard (from memory)',
}

/** The load case and what it does under the tray and on the bearing, for both directions. */
export function LoadingPanel() {
  const { pose } = useShownStance()
  const loading = useWorkbenchState((state) => state.findings?.loading)
  return (
    <>
      <Section title="Alignment" aside="the same bone, one click">
        <RecipeSwitch />
      </Section>
      <Section title="Load">
        <PoseChoice />
        <ActivityChoice />
        {[...loadFields, ...ownDirectionFields].map((field) => (
          <CaseNumberField key={field.step} field={field} />
        ))}
      </Section>
      {directions.map(([direction, label]) => {
        const index = loading?.findIndex((load) => load.pose === pose && load.direction === direction) ?? -1
        if (direction === 'own' && index < 0) return null
        return <Direction key={direction} label={label} index={index} load={loading?.[index]} />
      })}
      <CommandButton id="study.sweep" className="wide" />
      <CommandButton id="study.series" className="wide" />
      <Section title="Bearing" aside="generic, editable">
        <BearingChoices />
        {bearingFields.map((field) => (
          <CaseNumberField key={field.step} field={field} />
        ))}
        <OwnProfiles />
      </Section>
      <BesideLoads />
    </>
  )
}

/** What was measured elsewhere, next to the numbers it bears on. */
function BesideLoads() {
  return (
    <Section title="Measured elsewhere" aside="to compare with, no verdict">
      <dl className="beside-loads">
        {besideLoads.map(({ what, value, source }) => (
          <div key={what}>
            <dt>{what}</dt>
            <dd>
              {value} <span className="footnote">({source})</span>
            </dd>
          </div>
        ))}
      </dl>
    </Section>
  )
}

/** Kinematic beside mechanical on the same bone: what the one recipe or the other does to shear and contact. */
function RecipeSwitch() {
  const { store } = useWorkbench()
  const recipe = useWorkbenchState((state) => state.history.present.recipe)
  return (
    <Segmented
      label="Recipe"
      hideLabel
      columns={2}
      options={recipeNames.map((name) => ({ value: name, label: recipeLabels[name] }))}
      value={recipe}
      onChange={(next) =>
        store
          .getState()
          .edit(`recipe ${recipeLabels[next].toLowerCase()}`, (document) => ({ ...document, recipe: next }))
      }
    />
  )
}

function ActivityChoice() {
  const { store } = useWorkbench()
  const id = useId()
  const activity = useWorkbenchState((state) => state.history.present.load.activity)
  return (
    <div className="choice spaced">
      <label htmlFor={id}>What the leg is doing</label>
      <select
        id={id}
        value={activity}
        onChange={(event) => {
          const next = event.target.value as Activity
          store.getState().edit(`load ${activityLabels[next]}`, (document) => ({
            ...document,
            load: { ...document.load, activity: next },
          }))
        }}
      >
        {activities.map((name) => (
          <option key={name} value={name}>
            {activityLabels[name]}
          </option>
        ))}
      </select>
    </div>
  )
}

interface DirectionProps {
  readonly label: string
  readonly index: number
  readonly load: LoadingFindings | undefined
}

function Direction({ label, index, load }: DirectionProps) {
  const deep = useWorkbenchState((state) => state.depth === 'full')
  const inside = load?.interface ?? (load ? null : undefined)
  const at = (name: string) => `loading.${index}.${name}`
  return (
    <Section title={label} aside={load && !deep ? `contact ${text.updating}` : undefined}>
      <dl className="pairs">
        <dt>Load</dt>
        <dd>
          <Figure value={load?.loadN} quantity="N" path={at('loadN')} />
        </dd>
        <dt>Compression on the tray</dt>
        <dd>
          <Figure value={load?.compressionN} quantity="N" path={at('compressionN')} />
        </dd>
        <dt>Shear along the tray</dt>
        <dd>
          <Figure value={load?.shearN} quantity="N" path={at('shearN')} />
        </dd>
        <dt>Shear to compression</dt>
        <dd>
          <Figure value={load?.shearToCompression} quantity="ratio" path={at('shearToCompression')} />
        </dd>
        <dt>its coronal part</dt>
        <dd>
          <Figure value={load?.shearCoronal} quantity="ratio" path={at('shearCoronal')} />
        </dd>
        <dt>its sagittal part</dt>
        <dd>
          <Figure value={load?.shearSagittal} quantity="ratio" path={at('shearSagittal')} />
        </dd>
        <dt>Medial share of the load</dt>
        <dd>
          <Figure value={load?.medialShare} quantity="percent" path={at('medialShare')} />
        </dd>
        <dt>Interface, peak pressure</dt>
        <dd>
          <Figure value={deep ? load?.interfacePeakMpa : undefined} quantity="MPa" path={at('interfacePeakMpa')} />
        </dd>
        <dt>its mean where it presses</dt>
        <dd>
          <Figure value={deep ? inside?.meanMpa : undefined} quantity="MPa" path={at('interface.meanMpa')} />
        </dd>
        <dt>Share of the tray lifted off</dt>
        <dd>
          <Figure
            value={deep ? inside?.liftOffShare : undefined}
            quantity="percent"
            path={at('interface.liftOffShare')}
          />
        </dd>
        <dt>Friction that would hold it alone</dt>
        <dd>
          <Figure value={load?.shearToCompression} quantity="ratio" path={at('shearToCompression')} />
        </dd>
      </dl>
      {deep && load ? <BearingFigures load={load} path={at('bearing')} /> : null}
    </Section>
  )
}
