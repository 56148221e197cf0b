import { FloorStrip } from './floor-strip/floor-strip.tsx'
import { BoneQuestionDialog } from './frame/bone-question.tsx'
import { ChangeKeysDialog } from './frame/change-keys-dialog.tsx'
import { DropTarget } from './frame/drop-target.tsx'
import { KeySheet } from './frame/key-sheet.tsx'
import { KeyboardCommands } from './frame/keyboard-commands.tsx'
import { Notices } from './frame/notices.tsx'
import { Palette } from './frame/palette.tsx'
import { PlanInWords } from './frame/plan-in-words.tsx'
import { SnapshotDialog } from './frame/snapshot-dialog.tsx'
import { StageTabs } from './frame/stage-tabs.tsx'
import { TopBar } from './frame/top-bar.tsx'
import { ExplainDialog } from './help/explain-dialog.tsx'
import { HelpDialog } from './help/help-dialog.tsx'
import { Ledger } from './ledger/ledger.tsx'
import { LessonsDialog } from './lessons/lessons-dialog.tsx'
import { ErrorBoundary } from './parts/error-boundary.tsx'
import { ExplainingContext } from './parts/figure.tsx'
import { ViewsDialog } from './scene/views-dialog.tsx'
import { StagePanel } from './stages/stage-panel.tsx'
import { StageView } from './stages/stage-view.tsx'
import { StudyDialogs } from './studies/study-dialogs.tsx'
import { text } from './text/messages.ts'
import { useWorkbenchState } from './workbench.ts'

/** The window: bar, stages, controls, view, ledger, floor strip. Each part fails alone. */
export function App() {
  const concealed = useWorkbenchState((state) => state.concealed)
  const explaining = useWorkbenchState((state) => state.explaining)
  const playing = useWorkbenchState((state) => state.lesson !== null && state.lessonMode === 'play')
  return (
    <ExplainingContext value={explaining}>
      <div className="window" data-concealed={concealed ? 'yes' : undefined} data-playing={playing ? 'yes' : undefined}>
        <KeyboardCommands />
        <TopBar />
        <StageTabs />
        <ErrorBoundary message={text.panelFailed}>
          <StagePanel />
        </ErrorBoundary>
        <StageView />
        <ErrorBoundary message={text.panelFailed}>
          <Ledger />
        </ErrorBoundary>
        <ErrorBoundary message={text.panelFailed}>
          <FloorStrip />
        </ErrorBoundary>
        <PlanInWords />
        <Notices />
        <Palette />
        <KeySheet />
        <ChangeKeysDialog />
        <BoneQuestionDialog />
        <StudyDialogs />
        <HelpDialog />
        <ExplainDialog />
        <SnapshotDialog />
        <LessonsDialog />
        <ViewsDialog />
        <DropTarget />
      </div>
    </ExplainingContext>
  )
}
