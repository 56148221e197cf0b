import { useMemo } from 'react'
import { useWorkbenchState } from '../workbench.ts'

const names = [
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

/** The theme's colours, read off the page so that there is one set of them; read again when the theme changes. */
export function useSceneColours(): SceneColours {
  const theme = useWorkbenchState((state) => state.theme)
  // biome-ignore lint/correctness/useExhaustiveDependencies: the choice of theme decides what the page answers
  return useMemo(() => {
    const style = getComputedStyle(document.documentElement)
    return Object.fromEntries(names.map((name) => [name, style.getPropertyValue(`--${name}`).trim()])) as SceneColours
  }, [theme])
}
