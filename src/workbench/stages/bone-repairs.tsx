import type { BoneName } from '../../anatomy/terms.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import { readAgain } from '../live/read-again.ts'
import { useWorkbench } from '../workbench.ts'

/** What would help the surface, one click each; repairs are steps of the case and can be undone. */
export function BoneRepairs({ bone, opened }: { readonly bone: BoneName; readonly opened: OpenedMesh }) {
  const workbench = useWorkbench()
  const { proposals, reference } = opened
  if (proposals.length === 0 && reference.repairs.length === 0) return null
  return (
    <ul className="bone-repairs" aria-label={`Repairs of the ${bone}`}>
      {proposals.map((proposal) => (
        <li key={JSON.stringify(proposal.step)}>
          <span>
            {proposal.message}
            {proposal.invents ? ' Adds surface that no one has scanned.' : ''}
          </span>
          <button
            type="button"
            className="button chip"
            onClick={() => void readAgain(workbench, bone, repairWords[proposal.step.kind], { repair: proposal.step })}
          >
            Repair
          </button>
        </li>
      ))}
      {reference.repairs.length > 0 ? <li>{reference.repairs.length} made, recorded in the case.</li> : null}
    </ul>
  )
}

const repairWords: Readonly<Record<OpenedMesh['proposals'][number]['step']['kind'], string>> = {
  weld: 'weld borders',
  'drop-duplicates': 'drop duplicates',
  'drop-fins': 'drop fins',
  'mend-degenerate': 'mend flat triangles',
  orient: 'turn outward',
  'drop-islands': 'drop islands',
  'fill-holes': 'fill holes',
  'cap-plane': 'close the cut end',
  'split-edges': 'part shared edges',
}
