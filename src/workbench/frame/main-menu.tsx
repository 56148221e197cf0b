import { Menu } from 'lucide-react'
import { useRef, useState } from 'react'
import { commandGroups } from '../commands/command.ts'
import { commands } from '../commands/list.ts'
import { CommandRow } from '../parts/command-row.tsx'

/** Every command by group, behind the program's name. */
export function MainMenu() {
  const [open, setOpen] = useState(false)
  const button = useRef<HTMLButtonElement>(null)
  const close = () => {
    setOpen(false)
    button.current?.focus()
  }
  return (
    <div
      className="main-menu"
      onKeyDown={(event) => {
        if (event.key === 'Escape' && open) {
          event.stopPropagation()
          close()
        }
      }}
      onBlur={(event) => {
        if (!event.currentTarget.contains(event.relatedTarget)) setOpen(false)
      }}
    >
      <button
        ref={button}
        type="button"
        className="brand"
        aria-haspopup="true"
        aria-expanded={open}
        title="All commands"
        onClick={() => setOpen(!open)}
      >
        <Mark />
        Floorline
        <Menu aria-hidden size="1em" className="brand-menu" />
      </button>
      {open ? (
        <nav className="menu-sheet" aria-label="All commands">
          {commandGroups.map((group) => (
            <section key={group} aria-label={group}>
              <h2 className="section-title">{group}</h2>
              {commands
                .filter((command) => command.group === group)
                .map((command) => (
                  <CommandRow key={command.id} command={command} onDone={close} />
                ))}
            </section>
          ))}
        </nav>
      ) : null}
    </div>
  )
}

const Mark = () => (
  <svg className="mark" viewBox="0 0 24 20" aria-hidden="true">
    <rect x="2.5" y="3" width="19" height="7" rx="3.5" className="mark-vial" />
    <circle cx="12" cy="6.5" r="2.3" className="mark-bubble" />
    <path d="M2 17h20" className="mark-floor" />
  </svg>
)
