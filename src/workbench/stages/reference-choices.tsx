import { useId } from 'react'
import type { References } from '../../anatomy/terms.ts'
import { Section } from '../parts/section.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

type Choices = { readonly [K in keyof References]: readonly (readonly [References[K], string])[] }

const choices: Omit<Choices, 'meshSurface'> = {
  femoralKneeCentre: [
    ['notch', 'notch saddle'],
    ['epicondyles', 'between the epicondyles'],
  ],
  femoralMedioLateral: [
    ['posterior-condylar', 'posterior condylar line'],
    ['epicondylar', 'epicondyle line'],
    ['condylar-cylinder', 'condylar cylinder axis'],
  ],
  tibialKneeCentre: [
    ['spines', 'between the spines'],
    ['plateaus', 'between the plateau points'],
  ],
  ankleCentre: [
    ['plafond', 'centre of the plafond'],
    ['malleoli', 'between the malleoli'],
  ],
  tibialAnterior: [
    ['pcl-tubercle', 'posterior notch to tubercle third'],
    ['posterior-tangent', 'posterior tangent'],
    ['femoral', 'femoral reference carried over'],
  ],
  plateauPoint: [
    ['centroid', 'centroid of the patch'],
    ['deepest', 'deepest point'],
  ],
  slopeAxis: [
    ['mechanical', 'mechanical axis'],
    ['proximal-shaft', 'proximal shaft axis'],
  ],
}

const labels: Readonly<Record<keyof typeof choices, string>> = {
  femoralKneeCentre: 'Femoral knee centre',
  femoralMedioLateral: 'Femoral medio-lateral',
  tibialKneeCentre: 'Tibial knee centre',
  ankleCentre: 'Ankle centre',
  tibialAnterior: 'Tibial anterior',
  plateauPoint: 'Plateau point',
  slopeAxis: 'Slope against',
}

/** Where the conventions allow several definitions, the one in use; it travels with the findings. */
export function ReferenceChoices() {
  return (
    <Section title="Definitions">
      {(Object.keys(choices) as (keyof typeof choices)[]).map((key) => (
        <ReferenceChoice key={key} name={key} />
      ))}
    </Section>
  )
}

function ReferenceChoice({ name }: { readonly name: keyof typeof choices }) {
  const { store } = useWorkbench()
  const id = useId()
  const value = useWorkbenchState((state) => state.history.present.references[name])
  return (
    <div className="choice">
      <label htmlFor={id}>{labels[name]}</label>
      <select
        id={id}
        value={value}
        onChange={(event) =>
          store.getState().edit(labels[name].toLowerCase(), (document) => ({
            ...document,
            references: { ...document.references, [name]: event.target.value },
          }))
        }
      >
        {choices[name].map(([option, label]) => (
          <option key={option} value={option}>
            {label}
          </option>
        ))}
      </select>
    </div>
  )
}
