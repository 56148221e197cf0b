import { useRef } from 'react'
import { NumberField } from '../parts/number-field.tsx'
import { formatQuantity } from '../text/format.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import type { DocumentField } from './document-field.ts'

/** An exact number field for a number of the case. */
export function CaseNumberField({ field }: { readonly field: DocumentField }) {
  const { store } = useWorkbench()
  const stored = useWorkbenchState((state) => field.read(state.history.present))
  const shown = useWorkbenchState((state) => (state.findings && field.shown ? field.shown(state.findings) : null))
  const before = useRef<number | null>(null)
  const value = stored ?? shown
  const changed = field.initial !== undefined && stored !== field.initial
  const say = (number: number | null) => (number === null ? 'as the recipe' : formatQuantity(number, field.quantity))
  const write = (next: number | null) => store.getState().update((document) => field.write(document, next))
  return (
    <NumberField
      label={field.label}
      value={value}
      quantity={field.quantity}
      {...(field.decimals === undefined ? {} : { decimals: field.decimals })}
      {...(field.by === undefined ? {} : { step: field.by })}
      {...(field.min === undefined ? {} : { min: field.min })}
      {...(field.max === undefined ? {} : { max: field.max })}
      note={field.note}
      onBegin={() => {
        before.current = value
        store.getState().begin(field.step)
      }}
      onUpdate={write}
      onCommit={() => {
        const now = field.read(store.getState().history.present)
        store.getState().commit(`${field.step} ${say(before.current)} to ${say(now)}`)
      }}
      onCancel={() => store.getState().cancel()}
      onRefuse={(message) =>
        store.getState().notify({ code: 'case/out-of-range', message, hint: null, place: field.step })
      }
      onReset={
        changed
          ? () =>
              store.getState().edit(`reset ${field.step}`, (document) => field.write(document, field.initial ?? null))
          : undefined
      }
    />
  )
}
