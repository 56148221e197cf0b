import { useCallback, useReducer, useRef } from 'react'
import type { Findings } from '../../findings.ts'
import { useWorkbenchState } from '../workbench.ts'

interface FindingsInSight {
  readonly findings: Findings | null
  /** For the element that shows them. */
  readonly ref: (element: HTMLElement | null) => (() => void) | undefined
}

/**
 * The findings, for a part of a panel that scrolls: while something is pulled and the part is out of sight, those that it
 * shows already; the newest as soon as it comes into sight or the hand lets go.
 */
export function useFindingsInSight(): FindingsInSight {
  const inSight = useRef(true)
  const shown = useRef<Findings | null>(null)
  const [, showAnew] = useReducer((n: number) => n + 1, 0)
  const findings = useWorkbenchState(({ findings: newest, history }) =>
    newest !== null && history.gesture !== null && !inSight.current && shown.current !== null ? shown.current : newest,
  )
  shown.current = findings
  const ref = useCallback((element: HTMLElement | null) => {
    if (!element) return undefined
    const watcher = new IntersectionObserver((entries) => {
      inSight.current = entries.at(-1)!.isIntersecting
      if (inSight.current) showAnew()
    })
    watcher.observe(element)
    return () => {
      watcher.disconnect()
      inSight.current = true
    }
  }, [])
  return { findings, ref }
}
