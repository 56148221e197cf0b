import { Check } from 'lucide-react'
import { type Command, labelOf, whyNot } from '../commands/command.ts'
import { keysOf } from '../commands/own-keys.ts'
import { keyNames } from '../commands/stroke.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

interface CommandRowProps {
  readonly command: Command
  readonly onDone: () => void
  readonly active?: boolean
  readonly id?: string
}

/** A command as a line of a list: icon, label, keys; greyed with its reason when it cannot be used. */
export function CommandRow({ command, onDone, active = false, id }: CommandRowProps) {
  const workbench = useWorkbench()
  const label = useWorkbenchState((state) => labelOf(command, state))
  const reason = useWorkbenchState((state) => whyNot(command, state))
  const checked = useWorkbenchState((state) => command.checked?.(state))
  const keys = useWorkbenchState((state) => keysOf(command, state.ownKeys)[0])
  const Icon = checked ? Check : command.icon
  return (
    <button
      type="button"
      id={id}
      className="command-row"
      data-active={active ? 'yes' : undefined}
      disabled={reason !== null}
      title={reason ?? undefined}
      aria-pressed={checked}
      onClick={() => {
        onDone()
        void command.run(workbench)
      }}
    >
      <span className="command-icon">{Icon ? <Icon aria-hidden size="1.1em" /> : null}</span>
      <span className="command-label">{label}</span>
      {keys ? <Keys keys={keys} /> : null}
    </button>
  )
}

export const Keys = ({ keys }: { readonly keys: string }) => (
  <span className="keys">
    {keyNames(keys).map((key) => (
      <kbd key={key}>{key}</kbd>
    ))}
  </span>
)
