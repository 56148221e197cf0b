import { useId } from 'react'
import { Section } from '../parts/section.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { componentOptions } from './component-options.ts'

type Part = 'femurSize' | 'tibiaSize' | 'insertMm'

/** Sizes of the generic family; "proposed" leaves the choice to the fit. */
export function ComponentChoices() {
  const implants = useWorkbenchState((state) => state.findings?.implants)
  return (
    <Section title="Components" aside="generic, invented">
      <Choice part="femurSize" label="Femoral size" proposed={implants?.femurSize} />
      <Choice part="tibiaSize" label="Tibial size" proposed={implants?.tibiaSize} />
      <Choice part="insertMm" label="Tray and insert" proposed={implants?.insertMm} unit=" mm" />
    </Section>
  )
}

interface ChoiceProps {
  readonly part: Part
  readonly label: string
  readonly proposed: number | undefined
  readonly unit?: string
}

function Choice({ part, label, proposed, unit = '' }: ChoiceProps) {
  const { store } = useWorkbench()
  const id = useId()
  const value = useWorkbenchState((state) => state.history.present.implants[part])
  const asProposed = value === null && proposed !== undefined ? `proposed: ${proposed}${unit}` : 'proposed'
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
        {componentOptions[part].map((option) => (
          <option key={option} value={option}>
            {option}
            {unit}
          </option>
        ))}
      </select>
    </div>
  )
}
