import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { useWorkbenchState } from '../workbench.ts'
import { PoseTable } from './pose-table.tsx'

const directions = [
  ['vertical', 'vertical load'],
  ['tibial-axis', 'along the tibia'],
] as const

/** The tray to the floor, and shear against compression for both directions of load, in the pose shown. */
export function StandsBlock() {
  const findings = useWorkbenchState((state) => state.findings)
  const pose = useWorkbenchState((state) => state.history.present.stance.pose)
  return (
    <Section title="Stands" aside="to the floor, medial or posterior down +">
      <PoseTable />
      <p className="shear-heading">Shear to compression</p>
      <div className="shear-cards">
        {directions.map(([direction, label]) => {
          const at = findings?.loading.findIndex((l) => l.pose === pose && l.direction === direction) ?? -1
          const load = at < 0 ? undefined : findings?.loading[at]
          return (
            <div key={direction} className="shear-card">
              <p className="shear-label">{label}</p>
              <p className="shear-total">
                <Figure value={load?.shearToCompression} quantity="ratio" path={`loading.${at}.shearToCompression`} />
              </p>
              <p className="shear-part">
                coronal <Figure value={load?.shearCoronal} quantity="ratio" path={`loading.${at}.shearCoronal`} />
              </p>
            </div>
          )
        })}
      </div>
    </Section>
  )
}
