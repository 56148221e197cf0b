import { FolderOpen } from 'lucide-react'
import { useEffect, useState } from 'react'
import type { DemoEntry } from '../../host/host.ts'
import { openDemo } from '../live/open-demo.ts'
import { CommandButton } from '../parts/command-button.tsx'
import { caution, text, whatThisIs } from '../text/messages.ts'
import { useWorkbench } from '../workbench.ts'
import { DemoPicture } from './demo-picture.tsx'
import { LeftBehind } from './left-behind.tsx'

/** The window without bones: what this is, how to begin, and the caution. */
export function StartPage() {
  return (
    <div className="start-page">
      <section className="start-intro" aria-label="Begin">
        <h2 className="start-title">See what a cut takes, and where it stands.</h2>
        <p className="start-words">{whatThisIs}</p>
        <p className="start-open">
          <CommandButton id="file.open" className="strong large" icon={FolderOpen} />
          <CommandButton id="lesson.first-look" label="One-minute tour" className="large" />
        </p>
        <p className="start-hint">{text.dropHint}</p>
      </section>
      <LeftBehind />
      <DemoCases />
      <p className="start-caution">{caution}</p>
    </div>
  )
}

function DemoCases() {
  const workbench = useWorkbench()
  const [demos, setDemos] = useState<readonly DemoEntry[] | null>(null)
  useEffect(() => {
    let wanted = true
    void workbench.host.demos().then((found) => {
      if (wanted) setDemos(found.ok ? found.value : [])
    })
    return () => {
      wanted = false
    }
  }, [workbench.host])
  if (!demos) return <section className="demo-cases" aria-busy="true" />
  return (
    <section className="demo-cases" aria-label="Demo cases">
      <h2 className="start-heading">
        {text.demoHeading} <span>{text.demoNote}</span>
      </h2>
      {demos.length === 0 ? <p>{text.demoMissing}</p> : null}
      <div className="demo-cards">
        {demos.map((demo) => (
          <button
            key={demo.id}
            type="button"
            className="demo-card eases"
            onClick={() => void openDemo(workbench, demo.id, demo.title)}
          >
            <DemoPicture id={demo.id} />
            <strong>{demo.title}</strong>
            <span>{demo.sentence}</span>
          </button>
        ))}
      </div>
    </section>
  )
}
