import { commandGroups, labelOf } from '../commands/command.ts'
import { commands } from '../commands/list.ts'
import { keysOf } from '../commands/own-keys.ts'
import { Keys } from '../parts/command-row.tsx'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { Dialog } from './dialog.tsx'

const inFields: readonly (readonly [string, string])[] = [
  ['↑ ↓', 'Step a number by 0.5'],
  ['Shift ↑ ↓', 'Step by 5'],
  ['Alt ↑ ↓', 'Step by 0.05'],
  ['Enter', 'Take what was typed'],
  ['Escape', 'Take the change back'],
]

/** Every key, generated from the list of commands. */
export function KeySheet() {
  const open = useWorkbenchState((state) => state.sheetOpen)
  const { store } = useWorkbench()
  const state = store.getState()
  if (!open) return null
  return (
    <Dialog label="Keys" className="key-sheet" onClose={() => state.showSheet(false)}>
      <h2 className="dialog-title">Keys</h2>
      <div className="key-columns">
        {commandGroups.map((group) => (
          <section key={group} aria-label={group}>
            <h3 className="section-title">{group}</h3>
            {commands
              .filter((command) => command.group === group && keysOf(command, state.ownKeys).length > 0)
              .map((command) => (
                <p key={command.id} className="key-line">
                  {labelOf(command, state)}
                  <span className="key-choices">
                    {keysOf(command, state.ownKeys).map((keys) => (
                      <Keys key={keys} keys={keys} />
                    ))}
                  </span>
                </p>
              ))}
          </section>
        ))}
        <section aria-label="Numbers">
          <h3 className="section-title">Numbers</h3>
          {inFields.map(([keys, what]) => (
            <p key={keys} className="key-line">
              {what}
              <kbd>{keys}</kbd>
            </p>
          ))}
        </section>
      </div>
      <div className="dialog-buttons">
        <button type="button" className="button" onClick={() => state.showSheet(false)}>
          {text.close}
        </button>
        <button type="button" className="button" onClick={() => state.showKeyChanges(true)}>
          {text.changeKeys}
        </button>
      </div>
    </Dialog>
  )
}
