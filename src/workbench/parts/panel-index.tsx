import { useRef } from 'react'

interface PanelIndexProps {
  readonly label: string
  /** Titles of sections in the same panel, as they are written there, and what each is called here. */
  readonly parts: readonly (readonly [title: string, name: string])[]
}

/** Between the index and the part brought under it. */
const clearPx = 12

/** The parts of a long panel, always in sight at its top; pressed, one is brought into view and takes the focus. */
export function PanelIndex({ label, parts }: PanelIndexProps) {
  const nav = useRef<HTMLElement>(null)
  const show = (title: string) => {
    const own = nav.current
    const panel = own?.parentElement
    const section = panel?.querySelector<HTMLElement>(`section[aria-label="${CSS.escape(title)}"]`)
    if (!own || !panel || !section) return
    // By the panel's own scrolling: the page about it must stay where it is.
    panel.scrollTop += section.getBoundingClientRect().top - own.getBoundingClientRect().bottom - clearPx
    section.tabIndex = -1
    section.focus({ preventScroll: true })
  }
  return (
    <nav ref={nav} className="panel-index" aria-label={label}>
      {parts.map(([title, name]) => (
        <button key={title} type="button" onClick={() => show(title)}>
          {name}
        </button>
      ))}
    </nav>
  )
}
