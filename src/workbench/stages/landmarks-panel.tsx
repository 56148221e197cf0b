import { RotateCcw } from 'lucide-react'
import { confidenceWord } from '../../anatomy/confidence-word.ts'
import { type BoneName, boneOfLandmark, type Landmark, type LandmarkId, landmarkIds } from '../../anatomy/terms.ts'
import { FailureMessage } from '../parts/failure-message.tsx'
import { PanelIndex } from '../parts/panel-index.tsx'
import { Section } from '../parts/section.tsx'
import { formatNumber, formatQuantity } from '../text/format.ts'
import { boneLabels, landmarkLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { AnglesTable } from './angles-table.tsx'
import { FlagsSection } from './flags-section.tsx'
import { HandSection } from './hand-section.tsx'
import { LandmarkPlace } from './landmark-place.tsx'
import { ReferenceChoices } from './reference-choices.tsx'
import { ShapesSection } from './shapes-section.tsx'
import { SignOffSection } from './sign-off-section.tsx'
import { UncertaintySection } from './uncertainty-section.tsx'

const parts = [
  ['This set', 'Sign-off'],
  ['By hand', 'By hand'],
  [boneLabels.femur, 'Landmarks'],
  ['Angles', 'Angles'],
  ['Fits and shapes', 'Fits'],
  ['Extreme anatomy', 'Flags'],
  ['How sure', 'Scatter'],
  ['Definitions', 'Definitions'],
] as const

/** Every landmark with how sure it is; a chosen one can be put elsewhere by clicking the bone. */
export function LandmarksPanel() {
  return (
    <>
      <PanelIndex label={text.partsOfLandmarks} parts={parts} />
      <SignOffSection />
      <HandSection />
      <LandmarkList bone="femur" />
      <LandmarkList bone="tibia" />
      <AnglesTable />
      <ShapesSection />
      <FlagsSection />
      <UncertaintySection />
      <ReferenceChoices />
    </>
  )
}

function LandmarkList({ bone }: { readonly bone: BoneName }) {
  const anatomy = useWorkbenchState((state) => (bone === 'femur' ? state.femurAnatomy : state.tibiaAnatomy))
  const failure = useWorkbenchState((state) => (bone === 'femur' ? state.femurFailure : state.tibiaFailure))
  const ids = landmarkIds.filter((id) => boneOfLandmark(id) === bone)
  return (
    <Section title={boneLabels[bone]} aside={anatomy ? text.residualAndSd : undefined}>
      {failure ? <FailureMessage failure={failure} /> : null}
      {!anatomy && !failure ? <p className="footnote">{text.noBones}</p> : null}
      <ul className="landmark-list">
        {anatomy ? ids.map((id) => <LandmarkRow key={id} id={id} landmark={anatomy.landmarks[id] ?? null} />) : null}
      </ul>
    </Section>
  )
}

interface LandmarkRowProps {
  readonly id: LandmarkId
  /** null: this bone does not show it, a truncated scan or a tip that another bone carries. */
  readonly landmark: Landmark | null
}

/** A landmark with how sure it is; chosen, it can be clicked on the bone or given by coordinates. */
function LandmarkRow({ id, landmark }: LandmarkRowProps) {
  const { store } = useWorkbench()
  const chosen = useWorkbenchState((state) => state.activeLandmark === id)
  const label = landmarkLabels[id]
  const certainty = landmark && confidenceWord(landmark.confidence)
  const title = !landmark ? undefined : landmark.reason ? `${certainty}: ${landmark.reason}` : `${label}: ${certainty}`
  return (
    <li className="landmark-row" data-chosen={chosen ? 'yes' : undefined}>
      <button
        type="button"
        className={landmark ? 'landmark-name' : 'landmark-name missing'}
        aria-pressed={chosen}
        title={title}
        onClick={() => store.getState().chooseLandmark(chosen ? null : id)}
      >
        {certainty ? <Certainty certainty={certainty} /> : null}
        {label}
      </button>
      {landmark && landmark.source !== 'found' ? (
        <button
          type="button"
          className="field-reset"
          aria-label={text.resetTo(label)}
          title={text.resetTo(label)}
          onClick={() =>
            store.getState().edit(`reset ${label.toLowerCase()}`, (document) => {
              const { [id]: _dropped, ...rest } = document.landmarks
              return { ...document, landmarks: rest }
            })
          }
        >
          <RotateCcw aria-hidden size="1em" />
        </button>
      ) : null}
      <span className="landmark-residual">{landmark ? <HowFar landmark={landmark} /> : text.notFound}</span>
      {landmark?.from ? <p className="landmark-hint">From {landmark.from.file}.</p> : null}
      {landmark?.reason ? (
        <p className="landmark-hint">
          {certainty}: {landmark.reason}
        </p>
      ) : null}
      {landmark ? null : <p className="landmark-hint">{whereFrom(id)}</p>}
      {chosen ? <LandmarkPlace id={id} /> : null}
    </li>
  )
}

/** Residual of its fit, or where it comes from, and its scatter. */
function HowFar({ landmark }: { readonly landmark: Landmark }) {
  const { source, from, sdMm } = landmark
  return (
    <>
      {source === 'set' ? text.setByHand : source === 'found' || from ? residualOf(landmark) : source}{' '}
      {sdMm === null ? null : <span className="landmark-sd">±{formatNumber(sdMm)}</span>}
    </>
  )
}

/** How a landmark that this bone does not show can be had. */
const whereFrom = (id: LandmarkId): string =>
  id === 'hipCentre'
    ? text.hipFrom
    : id === 'malleolusLateral'
      ? text.fibulaFrom
      : id === 'ankleCentre' || id === 'malleolusMedial'
        ? text.ankleFrom
        : text.ownFrom

const residualOf = ({ residualMm }: Landmark): string => (residualMm === null ? '' : formatQuantity(residualMm, 'mm'))

interface CertaintyProps {
  readonly certainty: string
}

/** Three bars, filled by confidence: a shape beside the colour. */
function Certainty({ certainty }: CertaintyProps) {
  const filled = certainty === 'sure' ? 3 : certainty === 'fair' ? 2 : 1
  return (
    <svg className="certainty" data-certainty={certainty} viewBox="0 0 13 10" role="img" aria-label={certainty}>
      {[0, 1, 2].map((k) => (
        <rect
          key={k}
          x={k * 4.5}
          y={6 - 3 * k}
          width="3.2"
          height={4 + 3 * k}
          data-filled={k < filled ? 'yes' : undefined}
        />
      ))}
    </svg>
  )
}
