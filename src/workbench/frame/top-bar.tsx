import { Moon, Redo2, Search, Sun, Undo2 } from 'lucide-react'
import { findCommand } from '../commands/find-command.ts'
import { keysOf } from '../commands/own-keys.ts'
import { keyNames } from '../commands/stroke.ts'
import { CommandButton } from '../parts/command-button.tsx'
import { sideLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { MainMenu } from './main-menu.tsx'

/** Name of the case, the last step, and the way to every command. */
export function TopBar() {
  const { store } = useWorkbench()
  const findKeys = useWorkbenchState((state) => keysOf(findCommand, state.ownKeys)[0])
  return (
    <header className="top-bar">
      <MainMenu />
      <CaseTitle />
      <span className="top-steps">
        <CommandButton id="edit.undo" className="quiet" icon={Undo2} />
        <CommandButton id="edit.redo" className="quiet" icon={Redo2} iconOnly />
      </span>
      <span className="spring" />
      <button type="button" className="find-command" onClick={() => store.getState().showPalette(true)}>
        <Search aria-hidden size="1.1em" />
        Find a command
        {findKeys ? <kbd>{keyNames(findKeys).join(' ')}</kbd> : null}
      </button>
      <CommandButton id="window.present" className="quiet" />
      <ThemeButton />
    </header>
  )
}

function CaseTitle() {
  const open = useWorkbenchState(({ history }) => {
    const { femur, tibia } = history.present.meshes
    return femur !== null || tibia !== null
  })
  const name = useWorkbenchState((state) => state.history.present.name)
  const procedure = useWorkbenchState((state) => state.history.present.procedure)
  const size = useWorkbenchState((state) => state.findings?.implants.femurSize)
  const side = useWorkbenchState(
    ({ findings, history, femurAnatomy, tibiaAnatomy }) =>
      findings?.side ?? history.present.side ?? femurAnatomy?.side ?? tibiaAnatomy?.side,
  )
  if (!open) return null
  const facts = [
    side ? `${sideLabels[side]} knee` : null,
    procedure === 'total' ? 'total' : 'medial partial',
    size === undefined ? null : `size ${size}`,
  ]
  return (
    <h1 className="case-title">
      <strong>{name}</strong>
      {facts.filter(Boolean).map((fact) => (
        <span key={fact}> · {fact}</span>
      ))}
    </h1>
  )
}

function ThemeButton() {
  const { store } = useWorkbench()
  // Read again whenever the choice changes; "system" resolves to what the page shows.
  useWorkbenchState((state) => state.theme)
  const dark = document.documentElement.dataset['theme'] === 'dark'
  const Icon = dark ? Sun : Moon
  const label = dark ? 'Light' : 'Dark'
  return (
    <button
      type="button"
      className="button quiet"
      title={dark ? 'Light colours' : 'Dark colours'}
      onClick={() => store.getState().chooseTheme(dark ? 'light' : 'dark')}
    >
      <Icon aria-hidden size="1.1em" />
      {label}
    </button>
  )
}
