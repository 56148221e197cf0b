import { useMemo, useSyncExternalStore } from 'react'

const names = [
  'paper',
  'bone',
  'bone-cut',
  'taken',
  'component',
  'steel',
  'ink',
  'ink-soft',
  'ink-faint',
  'line-strong',
  'focus',
  'floor',
] as const
export type SceneColours = Readonly<Record<(typeof names)[number], string>>

/** The theme's colours, read off the page so that there is one set of them; read again whenever the page's change. */
export function useSceneColours(): SceneColours {
  const page = useSyncExternalStore(
    whenThePageChanges,
    () => `${document.documentElement.dataset['theme']} ${forced()}`,
  )
  // biome-ignore lint/correctness/useExhaustiveDependencies: what the page shows decides what it answers
  return useMemo(() => {
    const style = getComputedStyle(document.documentElement)
    return Object.fromEntries(
      names.map((name) => [name, asHex(style.getPropertyValue(`--${name}`).trim())]),
    ) as SceneColours
  }, [page])
}

const forcedColours = () => window.matchMedia('(forced-colors: active)')
const forced = () => forcedColours().matches

/** A choice, the system's own theme, and colours that the system forces upon the page. */
function whenThePageChanges(changed: () => void): () => void {
  const watcher = new MutationObserver(changed)
  watcher.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] })
  const media = forcedColours()
  media.addEventListener('change', changed)
  return () => {
    watcher.disconnect()
    media.removeEventListener('change', changed)
  }
}

/** A colour by its name, such as the system's own `Highlight`, as the view's renderer knows it: `#rrggbb`. */
function asHex(colour: string): string {
  if (colour.startsWith('#')) return colour
  const probe = document.createElement('span')
  probe.style.cssText = `forced-color-adjust: none; color: ${colour}`
  document.body.append(probe)
  const channels = getComputedStyle(probe).color.match(/\d+(\.\d+)?/g) ?? []
  probe.remove()
  return `#${channels
    .slice(0, 3)
    .map((channel) => Math.round(Number(channel)).toString(16).padStart(2, '0'))
    .join('')}`
}
