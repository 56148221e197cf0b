import '../../assets/styles/theme.css'
import '../../assets/styles/parts.css'
import '../../assets/styles/window.css'
import '../../assets/styles/sight.css'
import '../../assets/styles/stages.css'
import '../../assets/styles/hand.css'
import '../../assets/styles/sure.css'
import '../../assets/styles/ledger.css'
import '../../assets/styles/strip.css'
import '../../assets/styles/lessons.css'
import '../../assets/styles/contrast.css'
import '../../assets/styles/print.css'
import { StrictMode } from 'react'
import { createRoot } from 'react-dom/client'
import { createEngine } from '../engine/client.ts'
import { spawnWorker } from '../engine/spawn.ts'
import { browserHost } from '../host/browser-host.ts'
import { desktopHost } from '../host/desktop-host.ts'
import { App } from './app.tsx'
import { followCase } from './live/follow-case.ts'
import { followDesktop } from './live/follow-desktop.ts'
import { followFullScreen } from './live/follow-full-screen.ts'
import { followHand } from './live/follow-hand.ts'
import { followPreferences } from './live/follow-preferences.ts'
import { followPrint } from './live/follow-print.ts'
import { followUnsaved } from './live/follow-unsaved.ts'
import { createWorkbenchStore } from './store/workbench-store.ts'
import { type Workbench, WorkbenchContext } from './workbench.ts'

const hireStudent = () => createEngine({ spawn: spawnWorker, endsWorkerOnCancel: true })

const workbench: Workbench = {
  store: createWorkbenchStore(),
  engine: createEngine({ spawn: spawnWorker, endsWorkerOnCancel: false }),
  drawer: createEngine({ spawn: spawnWorker, endsWorkerOnCancel: false }),
  student: hireStudent(),
  hireStudent,
  opener: createEngine({ spawn: spawnWorker, endsWorkerOnCancel: true }),
  host: window.floorline ? desktopHost(window.floorline) : browserHost(),
}

followPreferences(workbench)
followCase(workbench)
followHand(workbench)
followUnsaved(workbench)
followFullScreen(workbench)
followPrint(workbench)
if (window.floorline) followDesktop(workbench, window.floorline)

createRoot(document.getElementById('root')!).render(
  <StrictMode>
    <WorkbenchContext value={workbench}>
      <App />
    </WorkbenchContext>
  </StrictMode>,
)
