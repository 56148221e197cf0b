import type { LucideIcon } from 'lucide-react'
import { labelOf, whyNot } from '../commands/command.ts'
import { commandById } from '../commands/list.ts'
import { keysOf } from '../commands/own-keys.ts'
import { keyNames } from '../commands/stroke.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

interface CommandButtonProps {
  readonly id: string
  readonly className?: string
  readonly icon?: LucideIcon
  readonly iconOnly?: boolean
  /** Shorter than the command's own label where the surroundings say the rest. */
  readonly label?: string
}

/** A button for a command of the list; its tooltip gives the keys, or why it cannot be used now. */
export function CommandButton({ id, className = '', icon, iconOnly = false, label }: CommandButtonProps) {
  const workbench = useWorkbench()
  const command = commandById(id)
  const full = useWorkbenchState((state) => labelOf(command, state))
  const reason = useWorkbenchState((state) => whyNot(command, state))
  const checked = useWorkbenchState((state) => command.checked?.(state))
  const Icon = icon ?? command.icon
  const keys = useWorkbenchState((state) => keysOf(command, state.ownKeys)[0])
  const hint = reason ?? `${full}${keys ? ` (${keyNames(keys).join(' ')})` : ''}`
  return (
    <button
      type="button"
      className={`button ${className}`}
      disabled={reason !== null}
      aria-pressed={checked}
      aria-label={iconOnly ? full : undefined}
      title={hint}
      onClick={() => void command.run(workbench)}
    >
      {Icon ? <Icon aria-hidden size="1.1em" /> : null}
      {iconOnly ? null : <span className="button-label">{label ?? full}</span>}
    </button>
  )
}
