import { type StageName, stageLabels, stageNames } from '../text/messages.ts'
import type { Command } from './command.ts'

const showStage = (stage: StageName, number: number): Command => ({
  id: `stage.${stage}`,
  label: `Go to ${stageLabels[stage]}`,
  group: 'Stage',
  keys: [`alt+${number}`],
  checked: (state) => state.stage === stage,
  run: ({ store }) => store.getState().showStage(stage),
})

export const showStages: readonly Command[] = stageNames.map((stage, k) => showStage(stage, k + 1))
