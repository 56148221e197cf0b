import type { Workbench } from '../workbench.ts'

/** A lesson plays on the whole screen and leaves it at its end; a screen left by the system's own key is known to be left. */
export function followFullScreen({ store, host }: Workbench): () => void {
  const fill = (fullScreen: boolean) => {
    if (store.getState().fullScreen === fullScreen) return
    store.setState({ fullScreen })
    host.setFullScreen(fullScreen)
  }
  const playing = () => {
    const { lesson, lessonMode, exporting } = store.getState()
    return lesson !== null && lessonMode === 'play' && exporting === null
  }
  let played = playing()
  const stop = store.subscribe(() => {
    if (playing() === played) return
    played = !played
    fill(played)
  })
  const onLeft = () => {
    if (host.kind === 'browser') store.setState({ fullScreen: document.fullscreenElement !== null })
  }
  document.addEventListener('fullscreenchange', onLeft)
  return () => {
    stop()
    document.removeEventListener('fullscreenchange', onLeft)
  }
}
