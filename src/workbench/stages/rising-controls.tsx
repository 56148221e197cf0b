import { PersonStanding } from 'lucide-react'
import { useEffect, useId, useRef } from 'react'
import { openedOtherLeg } from '../store/bones-slice.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** Motion explains and then gets out of the way. */
const risesInMs = 190

/** The leg from lying, as it was scanned, to standing: under the hand, or by itself; and the other leg beside it. */
export function RisingControls() {
  const { store } = useWorkbench()
  const id = useId()
  const risen = useWorkbenchState((state) => state.risen)
  const otherLegShown = useWorkbenchState((state) => state.otherLegShown)
  const own = useWorkbenchState((state) => openedOtherLeg(state) !== null)
  const frame = useRef(0)
  // Whoever leaves the stage finds the leg standing when they come back.
  useEffect(
    () => () => {
      cancelAnimationFrame(frame.current)
      store.getState().setRisen(1)
    },
    [store],
  )
  const standUp = () => {
    cancelAnimationFrame(frame.current)
    if (window.matchMedia('(prefers-reduced-motion: reduce)').matches) {
      store.getState().setRisen(1)
      return
    }
    const began = performance.now()
    const step = (now: number) => {
      const share = Math.min(1, (now - began) / risesInMs)
      store.getState().setRisen(share * share * (3 - 2 * share))
      if (share < 1) frame.current = requestAnimationFrame(step)
    }
    frame.current = requestAnimationFrame(step)
  }
  return (
    <div className="rising">
      <label htmlFor={id}>Lying to standing</label>
      <input
        id={id}
        type="range"
        min={0}
        max={100}
        step={1}
        value={Math.round(100 * risen)}
        aria-valuetext={risen >= 1 ? 'standing' : risen <= 0 ? 'lying' : `${Math.round(100 * risen)} % risen`}
        onChange={(event) => {
          cancelAnimationFrame(frame.current)
          store.getState().setRisen(Number(event.target.value) / 100)
        }}
      />
      <button type="button" className="button chip" onClick={standUp}>
        <PersonStanding aria-hidden size="1.1em" />
        Stand up
      </button>
      <label className="rising-other">
        <input
          type="checkbox"
          checked={otherLegShown}
          onChange={(event) => store.getState().showOtherLeg(event.target.checked)}
        />
        {own ? 'the other leg, its own bones' : 'the other leg, mirrored'}
      </label>
    </div>
  )
}
