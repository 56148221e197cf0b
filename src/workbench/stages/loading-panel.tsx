import type { LoadingFindings } from '../../findings.ts'
import { poseNames } from '../../stance/terms.ts'
import { useShownStance } from '../floor-strip/shown-stance.ts'
import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { Segmented } from '../parts/segmented.tsx'
import { poseLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { loadFields } from './case-fields.ts'
import { CaseNumberField } from './case-number-field.tsx'

const directions: readonly (readonly [LoadingFindings['direction'], string])[] = [
  ['vertical', 'Straight down'],
  ['tibial-axis', 'Along the tibia'],
]

/** The load case and what it does under the tray, for both directions. */
export function LoadingPanel() {
  const { store } = useWorkbench()
  const { pose } = useShownStance()
  const loading = useWorkbenchState((state) => state.findings?.loading)
  return (
    <>
      <Section title="Load">
        <Segmented
          label="Stance"
          hideLabel
          columns={2}
          options={poseNames.map((name) => ({ value: name, label: poseLabels[name] }))}
          value={pose}
          onChange={(next) =>
            store.getState().edit(`stance ${poseLabels[next].toLowerCase()}`, (document) => ({
              ...document,
              stance: { ...document.stance, pose: next },
            }))
          }
        />
        {loadFields.map((field) => (
          <CaseNumberField key={field.step} field={field} />
        ))}
      </Section>
      {directions.map(([direction, label]) => {
        const index = loading?.findIndex((load) => load.pose === pose && load.direction === direction) ?? -1
        return <Direction key={direction} label={label} index={index} load={loading?.[index]} />
      })}
    </>
  )
}

interface DirectionProps {
  readonly label: string
  readonly index: number
  readonly load: LoadingFindings | undefined
}

function Direction({ label, index, load }: DirectionProps) {
  const at = (name: string) => `loading.${index}.${name}`
  return (
    <Section title={label}>
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
      </dl>
    </Section>
  )
}
