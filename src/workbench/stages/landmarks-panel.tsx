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
  const entries = Object.entries(anatomy?.landmarks ?? {}) as [LandmarkId, Landmark][]
  const own = entries.filter(([id]) => boneOfLandmark(id) === bone)
  // A bone that was read but lacks some: a truncated scan, or a tip that another bone carries.
  const missing = anatomy ? landmarkIds.filter((id) => boneOfLandmark(id) === bone && !anatomy.landmarks[id]) : []
  return (
    <Section title={boneLabels[bone]} aside={own.length > 0 ? text.residualAndSd : undefined}>
      {failure ? <FailureMessage failure={failure} /> : null}
      {own.length === 0 && !failure ? <p className="footnote">{text.noBones}</p> : null}
      <ul className="landmark-list">
        {own.map(([id, landmark]) => (
          <LandmarkRow key={id} id={id} landmark={landmark} />
        ))}
        {missing.map((id) => (
          <MissingRow key={id} id={id} />
        ))}
      </ul>
    </Section>
  )
}

/** A landmark this bone does not show: chosen, it can be clicked on the bone or given by coordinates. */
function MissingRow({ id }: { readonly id: LandmarkId }) {
  const { store } = useWorkbench()
  const chosen = useWorkbenchState((state) => state.activeLandmark === id)
  return (
    <li className="landmark-row" data-chosen={chosen ? 'yes' : undefined}>
      <button
        type="button"
        className="landmark-name missing"
        aria-pressed={chosen}
        onClick={() => store.getState().chooseLandmark(chosen ? null : id)}
      >
        {landmarkLabels[id]}
      </button>
      <span className="landmark-residual">{text.notFound}</span>
      <p className="landmark-hint missing">{whereFrom(id)}</p>
    </li>
  )
}

function LandmarkRow({ id, landmark }: { readonly id: LandmarkId; readonly landmark: Landmark }) {
  const { store } = useWorkbench()
  const chosen = useWorkbenchState((state) => state.activeLandmark === id)
  const label = landmarkLabels[id]
  const certainty = confidenceWord(landmark.confidence)
  return (
    <li className="landmark-row" data-chosen={chosen ? 'yes' : undefined}>
      <button
        type="button"
        className="landmark-name"
        aria-pressed={chosen}
        title={landmark.reason ? `${certainty}: ${landmark.reason}` : `${label}: ${certainty}`}
        onClick={() => store.getState().chooseLandmark(chosen ? null : id)}
      >
        <Certainty certainty={certainty} />
        {label}
      </button>
      {landmark.source === 'found' ? null : (
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
      )}
      <span className="landmark-residual">
        {landmark.source === 'set'
          ? text.setByHand
          : landmark.source === 'found' || landmark.from
            ? residualOf(landmark)
            : landmark.source}{' '}
        {landmark.sdMm === null ? null : <span className="landmark-sd">±{formatNumber(landmark.sdMm)}</span>}
      </span>
      {landmark.from ? <p className="landmark-hint">From {landmark.from.file}.</p> : null}
      {landmark.reason ? (
        <p className="landmark-hint">
          {certainty}: {landmark.reason}
        </p>
      ) : null}
      {chosen ? <p className="landmark-hint">{text.clickToMove}</p> : null}
    </li>
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
