import { useId } from 'react'
import { CommandButton } from '../parts/command-button.tsx'
import { Section } from '../parts/section.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { componentOptions, familyInUse, familyOptions } from './component-options.ts'

type Part = 'femurSize' | 'tibiaSize' | 'insertMm'

/** Sizes of the generic family; "proposed" leaves the choice to the fit. */
export function ComponentChoices() {
  const implants = useWorkbenchState((state) => state.findings?.implants)
  return (
    <Section title="Components" aside="generic, invented">
      <FamilyChoice />
      <Choice part="femurSize" label="Femoral size" proposed={implants?.femurSize} runnerUp={implants?.femurRunnerUp} />
      <Choice part="tibiaSize" label="Tibial size" proposed={implants?.tibiaSize} runnerUp={implants?.tibiaRunnerUp} />
      <Choice part="insertMm" label="Tray and insert" proposed={implants?.insertMm} unit=" mm" />
      <CommandButton id="case.components" className="wide" />
    </Section>
  )
}

/** Which family: a built-in one or the case's own table; sizes that it does not have go back to the proposal. */
function FamilyChoice() {
  const { store } = useWorkbench()
  const id = useId()
  const procedure = useWorkbenchState((state) => state.history.present.procedure)
  const implants = useWorkbenchState((state) => state.history.present.implants)
  const options = familyOptions({ procedure, implants })
  const current = options.some((option) => option.id === implants.family) ? implants.family : options[0]?.id
  return (
    <div className="choice beside">
      <label htmlFor={id}>Family</label>
      <select
        id={id}
        value={current}
        onChange={(event) => {
          const family = event.target.value
          store.getState().edit(`family ${family}`, (document) => ({
            ...document,
            implants: { ...document.implants, family, femurSize: null, tibiaSize: null, insertMm: null },
          }))
        }}
      >
        {options.map((option) => (
          <option key={option.id} value={option.id}>
            {option.name}
          </option>
        ))}
      </select>
    </div>
  )
}

interface ChoiceProps {
  readonly part: Part
  readonly label: string
  readonly proposed: number | undefined
  /** The size that would have been proposed next. */
  readonly runnerUp?: number | null | undefined
  readonly unit?: string
}

function Choice({ part, label, proposed, runnerUp = null, unit = '' }: ChoiceProps) {
  const { store } = useWorkbench()
  const id = useId()
  const procedure = useWorkbenchState((state) => state.history.present.procedure)
  const implants = useWorkbenchState((state) => state.history.present.implants)
  const value = implants[part]
  const options = componentOptions(familyInUse({ procedure, implants }))[part]
  const next = runnerUp === null ? '' : `, then ${runnerUp}`
  const asProposed = value === null && proposed !== undefined ? `proposed: ${proposed}${unit}${next}` : 'proposed'
  return (
    <div className="choice beside">
      <label htmlFor={id}>{label}</label>
      <select
        id={id}
        value={value === null ? '' : String(value)}
        onChange={(event) => {
          const next = event.target.value === '' ? null : Number(event.target.value)
          store.getState().edit(`${label.toLowerCase()} ${next ?? 'proposed'}`, (document) => ({
            ...document,
            implants: { ...document.implants, [part]: next },
          }))
        }}
      >
        <option value="">{asProposed}</option>
        {options.map((option) => (
          <option key={option} value={option}>
            {option}
            {unit}
          </option>
        ))}
      </select>
    </div>
  )
}
