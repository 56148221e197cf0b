import { X } from 'lucide-react'
import { useState } from 'react'
import { mostViews, type SavedView } from '../../casefile/saved-view.ts'
import { Dialog } from '../frame/dialog.tsx'
import { sightOfView, viewNow } from '../store/view-now.ts'
import { stageLabels, text } from '../text/messages.ts'
import { sceneText } from '../text/scene-words.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** The views kept with the case: gone to, saved and removed here. */
export function ViewsDialog() {
  const open = useWorkbenchState((state) => state.viewsOpen)
  return open ? <OpenDialog /> : null
}

function OpenDialog() {
  const { store } = useWorkbench()
  const views = useWorkbenchState((state) => state.history.present.views)
  const [name, setName] = useState(sceneText.usualName(views.length + 1))
  const close = () => store.getState().showViews(false)
  const keep = (next: readonly SavedView[]) => store.getState().aside((document) => ({ ...document, views: next }))
  const goTo = (view: SavedView) => {
    store.setState(sightOfView(view))
    store.getState().moveCamera({ kind: 'camera', camera: view.camera })
    close()
  }
  return (
    <Dialog label={sceneText.views} className="views-dialog" onClose={close}>
      <h2>{sceneText.views}</h2>
      <p className="footnote">{sceneText.viewsWhat}</p>
      <form
        className="point-entry"
        onSubmit={(event) => {
          event.preventDefault()
          const view = viewNow(store.getState(), name.trim())
          if (!view || view.name === '') return
          keep([...views.filter((other) => other.name !== view.name), view].slice(-mostViews))
          close()
        }}
      >
        <input
          aria-label={sceneText.viewName}
          value={name}
          maxLength={100}
          autoComplete="off"
          onChange={(event) => setName(event.target.value)}
          onFocus={(event) => event.target.select()}
        />
        <button type="submit" className="button strong" disabled={name.trim() === ''}>
          {sceneText.saveView}
        </button>
      </form>
      {views.length === 0 ? <p className="footnote">{sceneText.noViews}</p> : null}
      <ul className="saved-views">
        {views.map((view) => (
          <li key={view.name}>
            <button type="button" className="command-row" onClick={() => goTo(view)}>
              {sceneText.goTo(view.name, stageLabels[view.stage].toLowerCase())}
            </button>
            <button
              type="button"
              className="field-reset"
              aria-label={sceneText.dropView(view.name)}
              title={sceneText.dropView(view.name)}
              onClick={() => keep(views.filter((other) => other.name !== view.name))}
            >
              <X aria-hidden size="1em" />
            </button>
          </li>
        ))}
      </ul>
      <button type="button" className="button" onClick={close}>
        {text.close}
      </button>
    </Dialog>
  )
}
