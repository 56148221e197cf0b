import { useState } from 'react'
import type { Progress } from '../../engine/contract.ts'
import type { Failure } from '../../failure.ts'
import { readOtherLeg } from '../live/read-other-leg.ts'
import { FailureMessage } from '../parts/failure-message.tsx'
import { Section } from '../parts/section.tsx'
import { openedOtherLeg } from '../store/bones-slice.ts'
import { StudyProgress } from '../studies/study-progress.tsx'
import { formatQuantity } from '../text/format.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** The other leg: the mirror image of this one, or measured on its own two files. */
export function OtherLegSection() {
  const workbench = useWorkbench()
  const { store, host } = workbench
  const other = useWorkbenchState((state) => state.history.present.stance.other)
  const ready = useWorkbenchState((state) => state.findings !== null)
  const drawn = useWorkbenchState((state) => openedOtherLeg(state) !== null)
  const [running, setRunning] = useState<{ readonly progress: Progress; readonly abort: AbortController } | null>(null)
  const [failure, setFailure] = useState<Failure | null>(null)
  const load = async () => {
    const chosen = await host.chooseFiles()
    if (chosen.length === 0) return
    const abort = new AbortController()
    setFailure(null)
    setRunning({ progress: { fraction: 0, stage: 'reading' }, abort })
    const files = chosen.map((file) => ({ file, name: file.name }))
    const measured = await readOtherLeg(workbench, files, {
      signal: abort.signal,
      onProgress: (progress) => setRunning({ progress, abort }),
    })
    setRunning(null)
    if (measured.ok)
      store.getState().edit('other leg from its files', (now) => ({
        ...now,
        stance: { ...now.stance, other: measured.value.measured },
      }))
    else if (measured.failure.code !== 'job/cancelled') setFailure(measured.failure)
  }
  return (
    <Section title="Other leg" aside={other ? 'from its own files' : 'mirror image'}>
      {other ? (
        <>
          <p className="footnote">
            {formatQuantity(other.legLengthMm, 'mm')} long, varus {formatQuantity(other.varusDeg, 'deg')};{' '}
            {other.hipHalfSpacingMm === null
              ? 'no frame is declared, so the hips’ spacing stays assumed.'
              : `half hip spacing ${formatQuantity(other.hipHalfSpacingMm, 'mm')}, measured.`}{' '}
            {drawn ? 'Drawn from its own bones.' : 'Its bones are not in the case: drawn as the mirror image.'}
          </p>
          <button
            type="button"
            className="button wide"
            onClick={() =>
              store.getState().edit('other leg mirrored', (now) => ({ ...now, stance: { ...now.stance, other: null } }))
            }
          >
            Back to the mirror image
          </button>
        </>
      ) : (
        <button type="button" className="button wide" disabled={!ready || running !== null} onClick={() => void load()}>
          From its femur and tibia…
        </button>
      )}
      <StudyProgress progress={running?.progress ?? null} onCancel={() => running?.abort.abort()} />
      {failure ? <FailureMessage failure={failure} /> : null}
    </Section>
  )
}
