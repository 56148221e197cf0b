/** What the question at closing can be answered with, in the order of its buttons. */
export const answers = ['Save', "Don't save", 'Cancel'] as const
export type ClosingAnswer = (typeof answers)[number]

export interface ClosingParts {
  /** Shows the system's question about the case of this name. */
  ask(name: string): Promise<ClosingAnswer>
  /** Tells the window to save and then to call `close`. */
  saveThenClose(): void
  /** Removes this run's recovery file: nothing is left to recover. */
  discardRecovery(): Promise<void>
  /** Closes for good; the next close event must not be stopped. */
  destroy(): void
}

/** Decides what a wish to close does: nothing unsaved closes at once, otherwise the user is asked, once at a time. */
export function closingGuard(parts: ClosingParts) {
  let unsaved = false
  let name = ''
  let asking = false

  async function finish(): Promise<void> {
    await parts.discardRecovery()
    parts.destroy()
  }

  return {
    setUnsaved(now: boolean, caseName: string): void {
      unsaved = now
      name = caseName
    },
    finish,
    /** Call on the window's close event after stopping it. */
    async wishToClose(): Promise<void> {
      if (asking) return
      if (!unsaved) return finish()
      asking = true
      try {
        const answer = await parts.ask(name)
        if (answer === 'Save') parts.saveThenClose()
        if (answer === "Don't save") await finish()
      } finally {
        asking = false
      }
    },
  }
}

export type ClosingGuard = ReturnType<typeof closingGuard>
