import { DrawLayer } from '../lessons/draw-layer.tsx'
import { LessonBar } from '../lessons/lesson-bar.tsx'
import { SceneView } from '../scene/scene-view.tsx'
import { StartPage } from '../start/start-page.tsx'
import { text } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'
import { ContactCard } from './contact-card.tsx'
import { ReportPage } from './report-page.tsx'
import { ThicknessCard } from './thickness-card.tsx'

/** The middle of the window. The scene stays mounted behind page-like stages, so that coming back costs nothing. */
export function StageView() {
  const stage = useWorkbenchState((state) => state.stage)
  const { femur, tibia } = useWorkbenchState((state) => state.history.present.meshes)
  const empty = !femur && !tibia
  const busy = useWorkbenchState(
    ({ updating, partsUpdating, findings, depth }) =>
      updating || partsUpdating || (findings !== null && depth !== 'full'),
  )
  const paper = stage === 'report' && !empty
  const waiting = !empty && (!femur || !tibia) && stage !== 'bones' && stage !== 'landmarks'
  return (
    <main className="view" aria-label="View" aria-busy={busy}>
      {empty ? (
        <StartPage />
      ) : (
        <>
          <div className="scene-holder" hidden={paper}>
            <SceneView />
          </div>
          <DrawLayer />
          <LessonBar />
          <ContactCard />
          <ThicknessCard />
          {paper ? <ReportPage /> : null}
          {waiting ? <p className="view-message">{text.needsBoth(femur ? 'femur' : 'tibia')}</p> : null}
        </>
      )}
    </main>
  )
}
