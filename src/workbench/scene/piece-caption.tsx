import { boundBeside } from '../../report/bounded.ts'
import { formatBounded, formatQuantity } from '../text/format.ts'
import { cutLabels, text } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'

/** On the cuts stage, what the active cut is and what it takes, in one line under the view's tools. */
export function PieceCaption() {
  const caption = useWorkbenchState((state) => {
    if (state.stage !== 'cuts' || !state.findings) return null
    const cut = state.findings.cuts.find((c) => c.id === state.activeCut)
    if (!cut) return null
    const angles = [
      cut.varusDeg === null ? null : `${formatQuantity(cut.varusDeg, 'deg')} varus`,
      cut.slopeDeg === null ? null : `${formatQuantity(cut.slopeDeg, 'deg')} slope`,
      cut.valgusDeg === null ? null : `${formatQuantity(cut.valgusDeg, 'deg')} valgus`,
      cut.flexionDeg === null || cut.id !== 'femur-distal' ? null : `${formatQuantity(cut.flexionDeg, 'deg')} flexion`,
      cut.externalRotationDeg === null ? null : `${formatQuantity(cut.externalRotationDeg, 'deg')} external`,
      cut.removedMm3 === null
        ? null
        : `takes ${takes(cut.removedMm3, boundBeside(state.findings, cut.bone, cut.removedBoundMm3))}`,
    ]
    return `${cutLabels[cut.id]}: ${angles.filter(Boolean).join(', ')}`
  })
  const lagging = useWorkbenchState((state) => state.stage === 'cuts' && state.partsUpdating && !state.history.gesture)
  if (!caption) return null
  return (
    <p className="piece-caption">
      {caption}
      {lagging ? <span className="lagging"> · {text.updating}</span> : null}
    </p>
  )
}

const takes = (mm3: number, bound: number | undefined): string =>
  bound === undefined ? formatQuantity(mm3, 'cm3') : formatBounded(mm3, 'cm3', bound)
