import { RotateCcw, X } from 'lucide-react'
import { type KeyboardEvent, useEffect, useRef, useState } from 'react'
import { type Command, commandGroups, labelOf } from '../commands/command.ts'
import { commandWithKeys } from '../commands/keys.ts'
import { commands } from '../commands/list.ts'
import { keysOf } from '../commands/own-keys.ts'
import { keyNames, strokeOf, whyNotStroke } from '../commands/stroke.ts'
import { Keys } from '../parts/command-row.tsx'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { Dialog } from './dialog.tsx'

/** Chooses other keys for any command; keys that are taken are told, and given over only when asked. */
export function ChangeKeysDialog() {
  const open = useWorkbenchState((state) => state.keyChangesOpen)
  return open ? <OpenChangeKeys /> : null
}

function OpenChangeKeys() {
  const { store } = useWorkbench()
  const own = useWorkbenchState((state) => state.ownKeys)
  const [listening, setListening] = useState<string | null>(null)
  const [query, setQuery] = useState('')
  const state = store.getState()
  const close = () => state.showKeyChanges(false)
  const words = query.toLowerCase().split(/\s+/).filter(Boolean)
  const found = commands.filter((command) => {
    const label = `${labelOf(command, state)} ${command.group}`.toLowerCase()
    return words.every((word) => label.includes(word))
  })
  return (
    <Dialog label={text.changeKeysTitle} className="key-changes" onClose={close}>
      <h2 className="dialog-title">{text.changeKeysTitle}</h2>
      <p className="key-changes-note">{text.changeKeysNote}</p>
      <input
        type="search"
        className="key-filter"
        aria-label={text.findInKeys}
        placeholder={text.findInKeys}
        value={query}
        onChange={(event) => setQuery(event.target.value)}
      />
      {commandGroups
        .filter((group) => found.some((command) => command.group === group))
        .map((group) => (
          <section key={group} aria-label={group} className="key-group">
            <h3 className="section-title">{group}</h3>
            {found
              .filter((command) => command.group === group)
              .map((command) => (
                <KeyChange
                  key={command.id}
                  command={command}
                  listening={listening === command.id}
                  listen={(on) => setListening(on ? command.id : null)}
                />
              ))}
          </section>
        ))}
      <div className="dialog-buttons">
        <button type="button" className="button" onClick={close}>
          {text.close}
        </button>
        <button
          type="button"
          className="button"
          disabled={Object.keys(own).length === 0}
          onClick={() => state.resetAllKeys()}
        >
          {text.allUsualKeys}
        </button>
      </div>
    </Dialog>
  )
}

interface KeyChangeProps {
  readonly command: Command
  readonly listening: boolean
  readonly listen: (on: boolean) => void
}

/** A command with its keys; pressed, it takes the next press for its new keys. */
function KeyChange({ command, listening, listen }: KeyChangeProps) {
  const { store } = useWorkbench()
  const own = useWorkbenchState((state) => state.ownKeys)
  const label = useWorkbenchState((state) => labelOf(command, state))
  const [refused, setRefused] = useState<string | null>(null)
  const [wanted, setWanted] = useState<{ readonly keys: string; readonly from: Command } | null>(null)
  const keys = keysOf(command, own)
  const choose = (chosen: readonly string[] | null) => {
    store.getState().chooseKeys(command.id, chosen)
    setRefused(null)
    setWanted(null)
    listen(false)
  }
  const onKeyDown = (event: KeyboardEvent) => {
    if (!listening) return
    // Nothing else may take this press: neither the dialog its Escape, nor the button its Enter, nor the browser.
    event.preventDefault()
    if (event.key === 'Escape') return listen(false)
    const stroke = strokeOf(event)
    if (stroke === null) return
    const why = whyNotStroke(stroke)
    setRefused(why && `${keyNames(stroke).join(' ')}: ${why}`)
    if (why !== null) return
    const holder = commandWithKeys(stroke, own)
    if (!holder || holder === command) return choose([stroke])
    setWanted({ keys: stroke, from: holder })
    listen(false)
  }
  const start = () => {
    setRefused(null)
    setWanted(null)
    listen(!listening)
  }
  return (
    <>
      <div className="key-change">
        <span className="key-change-label">{label}</span>
        <button
          type="button"
          className="button chip key-change-keys"
          aria-label={text.keysOf(label)}
          aria-pressed={listening}
          onClick={start}
          onKeyDown={onKeyDown}
          onBlur={() => listening && listen(false)}
        >
          {listening ? text.pressKeys : null}
          {!listening && keys.length === 0 ? <span className="key-none">{text.noKeys}</span> : null}
          {listening ? null : keys.map((one) => <Keys key={one} keys={one} />)}
        </button>
        <button
          type="button"
          className="field-reset"
          title={text.takeKeysAway(label)}
          aria-label={text.takeKeysAway(label)}
          disabled={keys.length === 0}
          onClick={() => choose([])}
        >
          <X aria-hidden size="1em" />
        </button>
        <button
          type="button"
          className="field-reset"
          title={text.usualKeys(label)}
          aria-label={text.usualKeys(label)}
          disabled={own[command.id] === undefined}
          onClick={() => choose(null)}
        >
          <RotateCcw aria-hidden size="1em" />
        </button>
      </div>
      {refused && listening ? (
        <p className="key-told" role="alert">
          {refused}
        </p>
      ) : null}
      {wanted ? (
        <TakenKeys
          told={text.keysTaken(keyNames(wanted.keys).join(' '), labelOf(wanted.from, store.getState()))}
          onTake={() => choose([wanted.keys])}
          onLeave={() => setWanted(null)}
        />
      ) : null}
    </>
  )
}

interface TakenKeysProps {
  readonly told: string
  readonly onTake: () => void
  readonly onLeave: () => void
}

/** Whose keys they are, and the question; the answer is under the hand at once. */
function TakenKeys({ told, onTake, onLeave }: TakenKeysProps) {
  const take = useRef<HTMLButtonElement>(null)
  useEffect(() => take.current?.focus(), [])
  return (
    <div className="key-told" role="alert">
      <span>{told}</span>
      <button ref={take} type="button" className="button chip" onClick={onTake}>
        {text.takeKeys}
      </button>
      <button type="button" className="button chip" onClick={onLeave}>
        {text.leaveKeys}
      </button>
    </div>
  )
}
