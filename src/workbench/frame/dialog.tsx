import { type ReactNode, useEffect, useRef } from 'react'

interface DialogProps {
  readonly label: string
  readonly className?: string
  readonly onClose: () => void
  readonly children: ReactNode
}

/** The browser's own modal dialog: focus stays inside, Escape closes, focus returns. */
export function Dialog({ label, className = '', onClose, children }: DialogProps) {
  const ref = useRef<HTMLDialogElement>(null)
  useEffect(() => {
    const dialog = ref.current
    dialog?.showModal()
    // Focus goes to the first button, which may stand at the end of a long text.
    dialog?.scrollTo(0, 0)
    return () => dialog?.close()
  }, [])
  return (
    <dialog
      ref={ref}
      className={`dialog ${className}`}
      aria-label={label}
      onCancel={(event) => {
        event.preventDefault()
        onClose()
      }}
      onKeyDown={(event) => event.stopPropagation()}
      onClick={(event) => {
        if (event.target === ref.current) onClose()
      }}
    >
      {children}
    </dialog>
  )
}
