import type { Progress } from '../../engine/contract.ts'
import { text } from '../text/messages.ts'

interface StudyProgressProps {
  readonly progress: Progress | null
  readonly onCancel: () => void
}

export function StudyProgress({ progress, onCancel }: StudyProgressProps) {
  if (!progress) return null
  return (
    <div className="study-progress" role="status">
      <span>{progress.stage}</span>
      <progress aria-label="Study" value={progress.fraction} max={1} />
      <button type="button" className="button" onClick={onCancel}>
        {text.cancel}
      </button>
    </div>
  )
}
