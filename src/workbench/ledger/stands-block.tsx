import { useShownStance } from '../floor-strip/shown-stance.ts'
import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { poseLabels } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'

const directions = [
  ['vertical', 'vertical load'],
  ['tibial-axis', 'load along the tibia'],
] as const

/** The tray to the floor, and shear against compression for both directions of load, in the pose shown. */
export function StandsBlock() {
  const findings = useWorkbenchState((state) => state.findings)
  const { stance, pose, index } = useShownStance()
  const path = (name: string) => `stance.${index}.${name}`
  return (
    <Section title="Stands" aside={poseLabels[pose].toLowerCase()}>
      <dl className="pairs">
        <dt>Tray to floor, side to side</dt>
        <dd>
          <Figure value={stance?.trayToFloorCoronalDeg} quantity="deg" path={path('trayToFloorCoronalDeg')} signed />
        </dd>
        <dt>front to back</dt>
        <dd>
          <Figure value={stance?.trayToFloorSagittalDeg} quantity="deg" path={path('trayToFloorSagittalDeg')} signed />
        </dd>
      </dl>
      <div className="shear-cards">
        {directions.map(([direction, label]) => {
          const at = findings?.loading.findIndex((l) => l.pose === pose && l.direction === direction) ?? -1
          const load = at < 0 ? undefined : findings?.loading[at]
          return (
            <div key={direction} className="shear-card">
              <p className="shear-label">shear, {label}</p>
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
      <p className="footnote">Ratio to compression; both directions are always shown.</p>
    </Section>
  )
}
