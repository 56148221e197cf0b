import { LessonPlayer } from '../lessons/lesson-player.tsx'
import { caution, stageLabels } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'
import { BonesPanel } from './bones-panel.tsx'
import { CutsPanel } from './cuts-panel.tsx'
import { LandmarksPanel } from './landmarks-panel.tsx'
import { LoadingPanel } from './loading-panel.tsx'
import { ReportPanel } from './report-panel.tsx'
import { StancePanel } from './stance-panel.tsx'

const panels = {
  bones: BonesPanel,
  landmarks: LandmarksPanel,
  cuts: CutsPanel,
  stance: StancePanel,
  loading: LoadingPanel,
  report: ReportPanel,
} as const

/** The controls of the open stage, and the caution below them on every one. */
export function StagePanel() {
  const stage = useWorkbenchState((state) => state.stage)
  const Panel = panels[stage]
  const lesson = useWorkbenchState((state) => state.lesson !== null && state.lessonMode === 'play')
  if (lesson) {
    return (
      <aside className="controls" aria-label="Lesson">
        <LessonPlayer />
        <p className="caution">{caution}</p>
      </aside>
    )
  }
  return (
    <aside className="controls" aria-label={`${stageLabels[stage]} controls`}>
      <Panel />
      <p className="caution">{caution}</p>
    </aside>
  )
}
