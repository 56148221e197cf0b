import { useLayoutEffect } from 'react'
import { whyNot } from '../commands/command.ts'
import { commandForKey } from '../commands/keys.ts'
import { useWorkbench } from '../workbench.ts'

/** Carries out the command a key stands for, from the first moment the window is seen; Escape cancels a gesture under way. */
export function KeyboardCommands() {
  const workbench = useWorkbench()
  useLayoutEffect(() => {
    const onKeyDown = (event: KeyboardEvent) => {
      if (event.defaultPrevented) return
      if (event.key === 'Escape') {
        const state = workbench.store.getState()
        if (state.lesson && state.lessonMode === 'play') state.endLesson()
        else state.cancel()
        return
      }
      const command = commandForKey(event, isTyping(event.target), workbench.store.getState().ownKeys)
      if (!command) return
      event.preventDefault()
      if (whyNot(command, workbench.store.getState()) === null) void command.run(workbench)
    }
    window.addEventListener('keydown', onKeyDown)
    return () => window.removeEventListener('keydown', onKeyDown)
  }, [workbench])
  return null
}

const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLTextAreaElement ||
  target instanceof HTMLSelectElement ||
  (target instanceof HTMLInputElement && target.type !== 'radio' && target.type !== 'checkbox')
