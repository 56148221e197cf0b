import { sensitivityWords } from '../../report/words.ts'
import { useShownStance } from '../floor-strip/shown-stance.ts'
import { Figure } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { useWorkbenchState } from '../workbench.ts'
import { stanceFields } from './case-fields.ts'
import { CaseNumberField } from './case-number-field.tsx'
import { LevelSection } from './level-section.tsx'
import { OtherLegSection } from './other-leg-section.tsx'
import { PoseChoice } from './pose-choice.tsx'
import { RisingControls } from './rising-controls.tsx'

/** What one step of each entry does to the tray. */
function SensitivitySection() {
  const sensitivities = useWorkbenchState((state) => state.findings?.sensitivities)
  if (!sensitivities?.length) return null
  return (
    <Section title="How the tilt answers" aside="tray side to side, this pose">
      <dl className="pairs">
        {sensitivities.map(({ what, step, unit, coronalDeg }, k) => (
          <div key={what} className="pair">
            <dt>
              {`${step}${unit === 'mm' ? ' mm' : '°'} of `}
              {sensitivityWords[what]}
            </dt>
            <dd>
              <Figure value={coronalDeg} quantity="deg" path={`sensitivities.${k}.coronalDeg`} signed />
            </dd>
          </div>
        ))}
      </dl>
    </Section>
  )
}

/** How the leg stands, and the tilt of tray and joint line in both planes. */
export function StancePanel() {
  const { pose, stance, index } = useShownStance()
  const at = (name: string) => `stance.${index}.${name}`
  return (
    <>
      <Section title="Stance">
        <PoseChoice />
        <RisingControls />
        {stance ? (
          <p className="footnote">
            Spacing {stance.spacingSource}.{pose === 'one-leg' ? ' Geometric, no trunk shift.' : ''}
          </p>
        ) : null}
      </Section>
      <Section title="How it stands">
        {stanceFields(pose).map((field) => (
          <CaseNumberField key={field.step} field={field} />
        ))}
      </Section>
      <Section title="To the floor" aside="medial, posterior down +">
        <dl className="pairs">
          <dt>Tray, side to side</dt>
          <dd>
            <Figure value={stance?.trayToFloorCoronalDeg} quantity="deg" path={at('trayToFloorCoronalDeg')} signed />
          </dd>
          <dt>Tray, front to back</dt>
          <dd>
            <Figure value={stance?.trayToFloorSagittalDeg} quantity="deg" path={at('trayToFloorSagittalDeg')} signed />
          </dd>
          <dt>Tray, total</dt>
          <dd>
            <Figure value={stance?.trayToFloorDeg} quantity="deg" path={at('trayToFloorDeg')} />
          </dd>
          <dt>Native joint line</dt>
          <dd>
            <Figure
              value={stance?.jointLineToFloorBeforeDeg}
              quantity="deg"
              path={at('jointLineToFloorBeforeDeg')}
              signed
            />
          </dd>
        </dl>
      </Section>
      <Section title="Leans" aside="top lateral +">
        <dl className="pairs">
          <dt>Leg</dt>
          <dd>
            <Figure value={stance?.legLeanDeg} quantity="deg" path={at('legLeanDeg')} signed />
          </dd>
          <dt>Tibia, before</dt>
          <dd>
            <Figure value={stance?.tibiaLeanBeforeDeg} quantity="deg" path={at('tibiaLeanBeforeDeg')} signed />
          </dd>
          <dt>Tibia, after</dt>
          <dd>
            <Figure value={stance?.tibiaLeanDeg} quantity="deg" path={at('tibiaLeanDeg')} signed />
          </dd>
          <dt>Pelvis</dt>
          <dd>
            <Figure value={stance?.pelvisTiltDeg} quantity="deg" path={at('pelvisTiltDeg')} signed />
          </dd>
        </dl>
      </Section>
      <OtherLegSection />
      <SensitivitySection />
      <LevelSection />
    </>
  )
}
