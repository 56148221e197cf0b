import { useEffect, useRef } from 'react'

export interface LessonKeys {
  readonly next: () => void
  readonly back: () => void
  readonly notes: () => void
  readonly answer: (k: number) => void
}

/**
 * The keys of a lesson, wherever the focus is: page keys (as hand-held presenters send them) always, arrows and space
 * where nothing else listens to them, digits for an answer.
 */
export function useLessonKeys(keys: LessonKeys): void {
  const now = useRef(keys)
  now.current = keys
  useEffect(() => {
    const onKeyDown = (event: KeyboardEvent) => {
      if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return
      const target = event.target instanceof Element ? event.target : null
      const typing = target?.closest('input, textarea, select, dialog') != null
      const taken = typing || target?.closest('canvas, .scene') != null
      const pressing = event.key === ' ' && target?.closest('button') != null
      if (event.key === 'PageDown' || (!taken && !pressing && (event.key === 'ArrowRight' || event.key === ' ')))
        now.current.next()
      else if (event.key === 'PageUp' || (!taken && event.key === 'ArrowLeft')) now.current.back()
      else if (!typing && event.key.toLowerCase() === 'n') now.current.notes()
      else if (!typing && /^[1-8]$/.test(event.key) && target?.closest('.lesson'))
        now.current.answer(Number(event.key) - 1)
      else return
      event.preventDefault()
      event.stopPropagation()
    }
    // Before the window's own commands: a digit answers here instead of turning the view.
    window.addEventListener('keydown', onKeyDown, { capture: true })
    return () => window.removeEventListener('keydown', onKeyDown, { capture: true })
  }, [])
}
