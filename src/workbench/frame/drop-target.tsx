import { useEffect, useState } from 'react'
import { openFiles } from '../live/open-files.ts'
import { text } from '../text/messages.ts'
import { useWorkbench } from '../workbench.ts'

/** The whole window takes dropped files; while they hover, it says what will happen. */
export function DropTarget() {
  const workbench = useWorkbench()
  const [hovering, setHovering] = useState(false)
  useEffect(() => {
    const carriesFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') === true
    const over = (event: DragEvent) => {
      if (!carriesFiles(event)) return
      event.preventDefault()
      setHovering(true)
    }
    const leave = (event: DragEvent) => {
      if (event.relatedTarget === null) setHovering(false)
    }
    const drop = (event: DragEvent) => {
      event.preventDefault()
      setHovering(false)
      const files = [...(event.dataTransfer?.files ?? [])]
      if (files.length > 0) void openFiles(workbench, files)
    }
    window.addEventListener('dragover', over)
    window.addEventListener('dragleave', leave)
    window.addEventListener('drop', drop)
    return () => {
      window.removeEventListener('dragover', over)
      window.removeEventListener('dragleave', leave)
      window.removeEventListener('drop', drop)
    }
  }, [workbench])
  if (!hovering) return null
  return (
    <div className="drop-cover">
      <p className="drop-words">
        <strong>{text.dropNow}</strong>
        {text.dropExplain}
      </p>
    </div>
  )
}
