import { useEffect, useState } from 'react'
import type { RecentEntry, RecoveryEntry } from '../../host/host.ts'
import { openFiles } from '../live/open-files.ts'
import { text } from '../text/messages.ts'
import { useWorkbench } from '../workbench.ts'

/** Unsaved work of an earlier run, and files used before; nothing where there is neither. */
export function LeftBehind() {
  const workbench = useWorkbench()
  const { host, store } = workbench
  const [kept, setKept] = useState<readonly RecoveryEntry[]>([])
  const [recent, setRecent] = useState<readonly RecentEntry[]>([])
  useEffect(() => {
    let wanted = true
    void Promise.all([host.recoveries(), host.recent()]).then(([left, used]) => {
      if (!wanted) return
      setKept(left)
      setRecent(used)
    })
    return () => {
      wanted = false
    }
  }, [host])
  const open = async (file: ReturnType<typeof host.reopen>) => {
    const opened = await file
    if (opened.ok) await openFiles(workbench, [opened.value])
    else store.getState().notify(opened.failure)
  }
  const discard = async (token: string) => {
    await host.discardRecovery(token)
    setKept((entries) => entries.filter((entry) => entry.token !== token))
  }
  const [latest] = kept
  return (
    <>
      {latest ? (
        <section className="left-behind" aria-label="Unsaved work">
          <p>Unsaved work from {new Date(latest.savedAt).toLocaleString()} was kept.</p>
          <button type="button" className="button" onClick={() => void open(host.recovered(latest.token))}>
            Open it
          </button>
          <button type="button" className="button quiet" onClick={() => void discard(latest.token)}>
            Discard it
          </button>
        </section>
      ) : null}
      {recent.length > 0 ? (
        <section className="recent" aria-label="Recent files">
          <h2 className="start-heading">Recent</h2>
          <ul>
            {recent.map((entry) => (
              <li key={entry.token}>
                <button
                  type="button"
                  className="button quiet"
                  disabled={!entry.present}
                  title={entry.present ? entry.name : `${entry.name} has been moved or removed.`}
                  onClick={() => void open(host.reopen(entry.token))}
                >
                  {entry.name}
                  {entry.present ? '' : ' – not there any more'}
                </button>
                {entry.present ? null : (
                  <button
                    type="button"
                    className="button quiet"
                    aria-label={text.locateFile(entry.name)}
                    onClick={() => void host.chooseFiles().then((files) => openFiles(workbench, files))}
                  >
                    {text.locate}
                  </button>
                )}
              </li>
            ))}
          </ul>
          <button
            type="button"
            className="button quiet"
            onClick={() => void host.forgetRecent().then(() => setRecent([]))}
          >
            Forget these
          </button>
        </section>
      ) : null}
    </>
  )
}
