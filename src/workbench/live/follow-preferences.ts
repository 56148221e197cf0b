import type { WorkbenchState } from '../store/state.ts'
import type { Workbench } from '../workbench.ts'

/** Writes theme and size of type to the page, now and whenever they or the system's own theme change. */
export function followPreferences({ store }: Workbench): () => void {
  const system = window.matchMedia('(prefers-color-scheme: dark)')
  const contrast = window.matchMedia('(prefers-contrast: more)')
  const asSystem = () => (contrast.matches ? 'contrast' : system.matches ? 'dark' : 'light')
  const apply = ({ theme, present }: Pick<WorkbenchState, 'theme' | 'present'>) => {
    const { dataset } = document.documentElement
    dataset['theme'] = theme === 'system' ? asSystem() : theme
    dataset['present'] = present ? 'on' : 'off'
  }
  const again = () => apply(store.getState())
  again()
  system.addEventListener('change', again)
  contrast.addEventListener('change', again)
  const stop = store.subscribe((state, before) => {
    if (state.theme !== before.theme || state.present !== before.present) apply(state)
  })
  return () => {
    stop()
    system.removeEventListener('change', again)
    contrast.removeEventListener('change', again)
  }
}
