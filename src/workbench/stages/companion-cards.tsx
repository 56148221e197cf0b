import { X } from 'lucide-react'
import { useMemo } from 'react'
import { confidenceWord } from '../../anatomy/confidence-word.ts'
import { type CompanionName, companionNames, type FromCompanion, type LandmarkId } from '../../anatomy/terms.ts'
import { companionsOf, withoutCompanion } from '../../casefile/companions.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import { placeCompanions } from '../live/place-companions.ts'
import { formatQuantity } from '../text/format.ts'
import { companionLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** The files beside the knee's that a joint centre was read from; what each is can be corrected. */
export function CompanionCards() {
  const landmarks = useWorkbenchState((state) => state.history.present.landmarks)
  const companions = useMemo(() => companionsOf({ landmarks }), [landmarks])
  return companions.map((from) => <CompanionCard key={from.part} from={from} />)
}

const gives: Readonly<Record<CompanionName, string>> = {
  'femoral-head': 'hip centre',
  'distal-tibia': 'ankle centre, medial malleolus',
  fibula: 'lateral malleolus',
}

const pointOf: Readonly<Record<CompanionName, LandmarkId>> = {
  'femoral-head': 'hipCentre',
  'distal-tibia': 'ankleCentre',
  fibula: 'malleolusLateral',
}

function CompanionCard({ from }: { readonly from: FromCompanion }) {
  const workbench = useWorkbench()
  const { store } = workbench
  const { part, file, residualMm, radiusMm } = from
  // Beside the knee more may speak against it than the file alone knows.
  const mark = useWorkbenchState((state) => state.findings?.landmarks[pointOf[part]])
  const { confidence, reason } = mark?.from?.part === part ? mark : from
  const opened = useWorkbenchState((state) => state.meshes[meshKey(file)])
  const label = companionLabels[part]
  const remove = () =>
    store.getState().edit(`remove ${label.toLowerCase()}`, (document) => withoutCompanion(document, part))
  const correct = async (other: CompanionName) => {
    if (opened) await placeCompanions(workbench, [{ part: other, opened }], part)
  }
  return (
    <section className="bone-card" aria-label={label}>
      <h3>
        {label}
        <button
          type="button"
          className="button quiet"
          aria-label={`Remove ${label.toLowerCase()}`}
          title={`Remove ${label.toLowerCase()}`}
          onClick={remove}
        >
          <X aria-hidden size="1.1em" />
        </button>
      </h3>
      <p className="bone-file" title={file.name}>
        {file.name}
      </p>
      <dl className="pairs">
        <dt>Gives</dt>
        <dd>{gives[part]}</dd>
        {radiusMm === null ? null : (
          <>
            <dt>Sphere</dt>
            <dd>radius {formatQuantity(radiusMm, 'mm')}</dd>
          </>
        )}
        {residualMm === null ? null : (
          <>
            <dt>Residual</dt>
            <dd>{formatQuantity(residualMm, 'mm')}</dd>
          </>
        )}
        <dt>Point</dt>
        <dd>{confidenceWord(confidence)}</dd>
        <dt>File by shape</dt>
        <dd>
          {opened?.companionGuess
            ? `${companionLabels[opened.companionGuess].toLowerCase()}, ${Math.round(100 * opened.confidence)} % sure`
            : 'not clear'}
        </dd>
      </dl>
      {reason ? <p className="footnote">{reason}</p> : null}
      <div className="choice">
        <label htmlFor={`companion-${part}`}>This file is</label>
        <select
          id={`companion-${part}`}
          value={part}
          onChange={(event) => void correct(event.target.value as CompanionName)}
        >
          {companionNames.map((name) => (
            <option key={name} value={name}>
              {companionLabels[name]}
            </option>
          ))}
        </select>
      </div>
    </section>
  )
}
