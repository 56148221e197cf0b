import type { OpenedMesh, RepairOutcome } from '../../engine/contract.ts'
import { shownBounded } from '../../report/bounded.ts'
import { formatCount } from '../text/format.ts'
import { text } from '../text/messages.ts'

interface PreviewFactsProps {
  readonly outcome: RepairOutcome
  readonly opened: OpenedMesh
}

/** What a previewed repair would change, in numbers. */
export function PreviewFacts({ outcome, opened }: PreviewFactsProps) {
  const { trianglesAdded: more, closed, boundaryEdges, nonManifoldEdges } = outcome
  const surface = closed
    ? 'closed'
    : [
        boundaryEdges > 0 ? `${formatCount(boundaryEdges)} boundary edges left` : null,
        nonManifoldEdges > 0 ? `${formatCount(nonManifoldEdges)} shared edges left` : null,
      ]
        .filter(Boolean)
        .join(', ') || 'not closed yet'
  return (
    <dl className="pairs preview-facts" aria-label={text.preview}>
      <dt>Triangles</dt>
      <dd>{more === 0 ? 'as many' : `${formatCount(Math.abs(more))} ${more > 0 ? 'more' : 'fewer'}`}</dd>
      <dt>Surface</dt>
      <dd>{surface}</dd>
      <dt>Volume now</dt>
      <dd>{volumeWords(opened)}</dd>
      <dt>Volume then</dt>
      <dd>{volumeWords(outcome)}</dd>
    </dl>
  )
}

interface Voluminous {
  readonly volumeMm3: number | null
  readonly volumeBoundMm3: number | null
}

/** A volume in cm³, with its bound unless it is exact. */
export const volumeWords = ({ volumeMm3, volumeBoundMm3 }: Voluminous, closed = volumeBoundMm3 === 0): string =>
  volumeMm3 === null
    ? text.withheld
    : `${shownBounded(volumeMm3, 'cm3', closed ? undefined : (volumeBoundMm3 ?? undefined))} cm³`
