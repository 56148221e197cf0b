import { FailureMessage } from '../parts/failure-message.tsx'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { AlignedBlock } from './aligned-block.tsx'
import { RemovedBlock } from './removed-block.tsx'
import { StandsBlock } from './stands-block.tsx'
import { WarningList } from './warning-list.tsx'

/** The numbers that matter: removed, aligned, stands. The three blocks never move; what is not known is a dash. */
export function Ledger() {
  const updating = useWorkbenchState((state) => state.updating && !state.history.gesture)
  return (
    <aside className="ledger" aria-label="Ledger" aria-busy={updating}>
      <LedgerFailure />
      <RemovedBlock />
      <AlignedBlock />
      <StandsBlock />
      <WarningList />
    </aside>
  )
}

function LedgerFailure() {
  const { store } = useWorkbench()
  const failure = useWorkbenchState((state) => state.failure)
  const declared = useWorkbenchState((state) => state.history.present.side)
  if (!failure) return null
  return (
    <FailureMessage failure={failure}>
      {failure.code === 'anatomy/side-contradiction' && declared ? (
        <button
          type="button"
          className="button"
          onClick={() => store.getState().edit('side from shape', (document) => ({ ...document, side: null }))}
        >
          {text.sideFromShape}
        </button>
      ) : null}
    </FailureMessage>
  )
}
