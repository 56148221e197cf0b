import { useState } from 'react'
import type { BoneName } from '../../anatomy/terms.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import type { RepairProposal } from '../../geometry/repair.ts'
import { findCrossings } from '../live/find-crossings.ts'
import { previewRepair } from '../live/preview-repair.ts'
import { readAgain } from '../live/read-again.ts'
import { crossingsProblem, problemOf, shownPreview } from '../store/problems-slice.ts'
import { formatCount } from '../text/format.ts'
import { repairWords } from '../text/repair-words.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { PreviewFacts } from './preview-facts.tsx'
import { usePointer } from './use-pointer.ts'

interface BoneProblemsProps {
  readonly bone: BoneName
  readonly opened: OpenedMesh
}

/** What is wrong with the surface, where, and what would help; repairs are steps of the case and can be undone. */
export function BoneProblems({ bone, opened }: BoneProblemsProps) {
  const { proposals } = opened
  return (
    <>
      {proposals.length === 0 ? null : (
        <ul className="bone-repairs" aria-label={`Problems of the ${bone}`}>
          {proposals.map((proposal) => (
            <ProblemRow key={problemOf(proposal.step)} bone={bone} opened={opened} proposal={proposal} />
          ))}
        </ul>
      )}
      <RepairsMade bone={bone} opened={opened} />
      <Crossings bone={bone} opened={opened} />
    </>
  )
}

function ProblemRow({ bone, opened, proposal }: BoneProblemsProps & { readonly proposal: RepairProposal }) {
  const workbench = useWorkbench()
  const { store } = workbench
  const id = problemOf(proposal.step)
  const preview = useWorkbenchState((state) => shownPreview(state, bone))
  const previewed = preview !== null && problemOf(preview.step) === id
  const pointer = usePointer(bone, opened, { id, points: proposal.points, sizeMm: proposal.sizeMm })
  const { step } = proposal
  const apply = async () => {
    await readAgain(workbench, bone, repairWords[step.kind], { repairs: [...opened.reference.repairs, step] })
    store.getState().showPreview(null)
    store.getState().pointAt(null)
  }
  return (
    <li data-pointed={pointer.pointed || undefined}>
      <p>
        {proposal.message}
        {proposal.invents ? <em> Adds surface that no one has scanned.</em> : null}
      </p>
      <p className="bone-repair-size">
        {formatCount(proposal.count)} {proposal.count === 1 ? 'place' : 'places'}, up to {proposal.sizeMm.toFixed(1)} mm
      </p>
      <p className="bone-repair-buttons">
        <button type="button" className="button" onClick={pointer.next}>
          {pointer.words}
        </button>
        {previewed ? (
          <button type="button" className="button" onClick={() => store.getState().showPreview(null)}>
            End preview
          </button>
        ) : (
          <button type="button" className="button" onClick={() => void previewRepair(workbench, opened, step)}>
            Preview
          </button>
        )}
        <button type="button" className="button" onClick={() => void apply()}>
          Repair
        </button>
      </p>
      {previewed ? <PreviewFacts outcome={preview.outcome} opened={opened} /> : null}
    </li>
  )
}

function RepairsMade({ bone, opened }: BoneProblemsProps) {
  const workbench = useWorkbench()
  const { repairs } = opened.reference
  if (repairs.length === 0) return null
  return (
    <div className="bone-repairs-made">
      <p>Repaired, recorded in the case: {repairs.map(({ kind }) => repairWords[kind]).join(', ')}.</p>
      <button
        type="button"
        className="button"
        onClick={() => void readAgain(workbench, bone, 'take back a repair', { repairs: repairs.slice(0, -1) })}
      >
        Take back the last
      </button>
    </div>
  )
}

function Crossings({ bone, opened }: BoneProblemsProps) {
  const workbench = useWorkbench()
  const [looking, setLooking] = useState(false)
  const found = useWorkbenchState((state) => state.crossings[opened.key])
  const pointer = usePointer(bone, opened, { id: crossingsProblem, points: found?.points ?? [], sizeMm: 10 })
  const look = async () => {
    setLooking(true)
    await findCrossings(workbench, bone, opened)
    setLooking(false)
  }
  if (!found)
    return (
      <p className="bone-crossings">
        <button type="button" className="button" disabled={looking} onClick={() => void look()}>
          {looking ? 'Looking…' : 'Look for self-crossings'}
        </button>
      </p>
    )
  if (found.pairs === 0) return <p className="bone-crossings">The surface nowhere runs through itself.</p>
  return (
    <p className="bone-crossings">
      {found.more ? 'More than ' : ''}
      {formatCount(found.pairs)} {found.pairs === 1 ? 'pair' : 'pairs'} of triangles run through each other; volumes
      there count twice. There is no repair for this here.{' '}
      <button type="button" className="button" onClick={pointer.next}>
        {pointer.words}
      </button>
    </p>
  )
}
