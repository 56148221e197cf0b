import type { StanceFindings } from '../../findings.ts'
import type { PoseName } from '../../stance/terms.ts'
import { useWorkbenchState } from '../workbench.ts'

export interface ShownStance {
  readonly pose: PoseName
  readonly stance: StanceFindings | undefined
  /** Where it stands in `findings.stance`. */
  readonly index: number
}

/** The pose that ledger, strip and 3D view show. */
export function useShownStance(): ShownStance {
  const pose = useWorkbenchState((state) => state.history.present.stance.pose)
  const findings = useWorkbenchState((state) => state.findings)
  const index = findings?.stance.findIndex((stance) => stance.pose === pose) ?? -1
  return { pose, stance: findings?.stance[index], index }
}
