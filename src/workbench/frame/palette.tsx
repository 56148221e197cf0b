import { useState } from 'react'
import { labelOf, whyNot } from '../commands/command.ts'
import { findCommand } from '../commands/find-command.ts'
import { commandForKey } from '../commands/keys.ts'
import { commands } from '../commands/list.ts'
import { CommandRow } from '../parts/command-row.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { Dialog } from './dialog.tsx'

/** Finds a command by any of its words. */
export function Palette() {
  const open = useWorkbenchState((state) => state.paletteOpen)
  return open ? <OpenPalette /> : null
}

function OpenPalette() {
  const workbench = useWorkbench()
  const { store } = workbench
  const [query, setQuery] = useState('')
  const [chosen, setChosen] = useState(0)
  const words = query.toLowerCase().split(/\s+/).filter(Boolean)
  const state = store.getState()
  const found = commands.filter((command) => {
    const label = `${labelOf(command, state)} ${command.group}`.toLowerCase()
    return words.every((word) => label.includes(word))
  })
  const active = Math.min(chosen, found.length - 1)
  const close = () => store.getState().showPalette(false)
  return (
    <Dialog label="Find a command" className="palette" onClose={close}>
      <input
        className="palette-query"
        role="combobox"
        aria-label="Find a command"
        aria-expanded="true"
        aria-controls="palette-list"
        aria-activedescendant={found[active] ? `palette-${found[active].id}` : undefined}
        placeholder="What do you want to do?"
        autoFocus
        value={query}
        onChange={(event) => {
          setQuery(event.target.value)
          setChosen(0)
        }}
        onKeyDown={(event) => {
          if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
            event.preventDefault()
            const step = event.key === 'ArrowDown' ? 1 : -1
            setChosen((active + step + found.length) % Math.max(1, found.length))
          } else if (event.key === 'Enter') {
            // What the command opens must not take this key press for its own.
            event.preventDefault()
            const command = found[active]
            if (!command || whyNot(command, state) !== null) return
            close()
            void command.run(workbench)
          } else if (commandForKey(event, true, state.ownKeys) === findCommand) {
            event.preventDefault()
            close()
          }
        }}
      />
      <div className="palette-list" id="palette-list">
        {found.map((command, k) => (
          <CommandRow
            key={command.id}
            id={`palette-${command.id}`}
            command={command}
            active={k === active}
            onDone={close}
          />
        ))}
        {found.length === 0 ? <p className="palette-none">No command has these words.</p> : null}
      </div>
    </Dialog>
  )
}
