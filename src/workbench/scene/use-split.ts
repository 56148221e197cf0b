import { useWorkbenchState } from '../workbench.ts'

/** Whether the bones as they were stand beside the plan: asked for, planned, and on a stage that shows the plan. */
export const useSplit = (): boolean =>
  useWorkbenchState(
    ({ split, stage, plan }) =>
      split && plan !== null && (stage === 'cuts' || stage === 'stance' || stage === 'loading'),
  )
