import { FolderOpen, X } from 'lucide-react'
import type { BoneName, PatientFrame, Side } from '../../anatomy/terms.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import { CommandButton } from '../parts/command-button.tsx'
import { FailureMessage } from '../parts/failure-message.tsx'
import { Section } from '../parts/section.tsx'
import { Segmented } from '../parts/segmented.tsx'
import { openedBone } from '../store/bones-slice.ts'
import { formatCount } from '../text/format.ts'
import { boneLabels, sideLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { BoneProblems } from './bone-problems.tsx'
import { CompanionCards } from './companion-cards.tsx'
import { volumeWords } from './preview-facts.tsx'

const sides: readonly { readonly value: Side | 'shape'; readonly label: string }[] = [
  { value: 'shape', label: 'From shape' },
  { value: 'left', label: 'Left' },
  { value: 'right', label: 'Right' },
]
const frames: readonly { readonly value: PatientFrame; readonly label: string; readonly hint: string }[] = [
  { value: 'unknown', label: 'Unknown', hint: 'The two files need share no frame' },
  { value: 'lps', label: 'LPS', hint: 'x to the subject’s left, y posterior, z superior' },
  { value: 'ras', label: 'RAS', hint: 'x to the subject’s right, y anterior, z superior' },
]

/** Which bones are open, what is wrong with them, and what is declared about them. */
export function BonesPanel() {
  const { store } = useWorkbench()
  const document = useWorkbenchState((state) => state.history.present)
  return (
    <>
      <Section title="Bones">
        <BoneCard bone="femur" />
        <BoneCard bone="tibia" />
        <CompanionCards />
        <CommandButton id="file.open" className="wide" icon={FolderOpen} />
      </Section>
      <Section title="Declared">
        <Segmented
          label="Side"
          options={sides}
          value={document.side ?? 'shape'}
          onChange={(side) =>
            store.getState().edit(side === 'shape' ? 'side from shape' : `side ${side}`, (d) => ({
              ...d,
              side: side === 'shape' ? null : side,
            }))
          }
        />
        {document.side === null ? <p className="footnote">{text.notFromShape}</p> : null}
        <Segmented
          label="Patient frame"
          options={frames}
          value={document.frame}
          onChange={(frame) => store.getState().edit(`frame ${frame}`, (d) => ({ ...d, frame }))}
        />
        <Segmented
          label="Mesh surface"
          options={[
            { value: 'bone', label: 'Bone' },
            { value: 'cartilage', label: 'With cartilage' },
          ]}
          value={document.references.meshSurface}
          onChange={(meshSurface) =>
            store.getState().edit(`mesh surface ${meshSurface}`, (d) => ({
              ...d,
              references: { ...d.references, meshSurface },
            }))
          }
        />
      </Section>
    </>
  )
}

function BoneCard({ bone }: { readonly bone: BoneName }) {
  const { store } = useWorkbench()
  const reference = useWorkbenchState((state) => state.history.present.meshes[bone])
  const opened = useWorkbenchState((state) => openedBone(state, bone))
  const failure = useWorkbenchState((state) => (bone === 'femur' ? state.femurFailure : state.tibiaFailure))
  if (!reference || !opened) {
    return (
      <div className="bone-card empty">
        <h3>{boneLabels[bone]}</h3>
        <p>not open</p>
      </div>
    )
  }
  return (
    <section className="bone-card" aria-label={boneLabels[bone]}>
      <h3>
        {boneLabels[bone]}
        <button
          type="button"
          className="button quiet"
          aria-label={`Remove ${bone}`}
          title={`Remove ${bone}`}
          onClick={() => store.getState().removeBone(bone)}
        >
          <X aria-hidden size="1.1em" />
        </button>
      </h3>
      <p className="bone-file" title={reference.name}>
        {reference.name}
      </p>
      <BoneFacts bone={bone} opened={opened} />
      <BoneProblems bone={bone} opened={opened} />
      {failure ? <FailureMessage failure={failure} /> : null}
    </section>
  )
}

function BoneFacts({ bone, opened }: { readonly bone: BoneName; readonly opened: OpenedMesh }) {
  const { store } = useWorkbench()
  const { health } = opened
  const [low, high] = opened.boxMm
  const size = [0, 1, 2].map((k) => (high[k]! - low[k]!).toFixed(0)).join(' × ')
  return (
    <>
      <dl className="pairs">
        <dt>Triangles</dt>
        <dd>{formatCount(opened.declaredTriangles)}</dd>
        <dt>Surface</dt>
        <dd>{health.closed ? 'closed' : 'open'}</dd>
        <dt>Volume</dt>
        <dd>{volumeWords(opened, health.closed)}</dd>
        <dt>Box</dt>
        <dd>{size} mm</dd>
        <dt>Read as</dt>
        <dd>
          {opened.reference.unitFactor === 1 ? 'mm' : `× ${opened.reference.unitFactor} to mm`}{' '}
          <button
            type="button"
            className="button in-line"
            onClick={() => store.getState().ask({ opened, about: 'unit', bone })}
          >
            {text.changeUnit}
          </button>
        </dd>
        <dt>Side by shape</dt>
        <dd>{opened.sideGuess === 'unknown' ? 'not clear' : sideLabels[opened.sideGuess]}</dd>
      </dl>
      {opened.warnings.length > 0 ? (
        <ul className="bone-problems">
          {opened.warnings.map((warning) => (
            <li key={`${warning.code} ${warning.message}`}>{warning.message}</li>
          ))}
        </ul>
      ) : null}
    </>
  )
}
