import { formatCount, formatNumber, formatQuantity } from '../text/format.ts'
import { handText, shapeLabels } from '../text/hand-words.ts'
import { useWorkbenchState } from '../workbench.ts'

/** What was fitted, how well, and to how much. */
export function FitFacts() {
  const fit = useWorkbenchState((state) => state.handFit)
  const areaMm2 = useWorkbenchState((state) => state.handPatch?.areaMm2 ?? null)
  if (!fit) return null
  if (!fit.ok) return <p className="footnote">{fit.failure.message}</p>
  const { kind, radiusMm, rmsMm, kept, rejected, limitMm, point, direction } = fit.value
  const place = (v: readonly number[], decimals: number) => v.map((c) => formatNumber(c, decimals)).join(', ')
  return (
    <dl className="pairs fit-facts" aria-label={handText.fitted(shapeLabels[kind])}>
      {radiusMm === null ? null : <Pair name={handText.radius} value={formatQuantity(radiusMm, 'mm')} />}
      <Pair name={handText.rms} value={`${formatNumber(rmsMm, 2)} mm`} />
      <Pair name={handText.from} value={handText.pointsKept(formatCount(kept), formatCount(rejected))} />
      {limitMm === null || rejected === 0 ? null : (
        <Pair name={handText.limit} value={`${formatNumber(limitMm, 2)} mm`} />
      )}
      {areaMm2 === null ? null : <Pair name={handText.area} value={`${formatNumber(areaMm2 / 100, 1)} cm²`} />}
      <Pair
        name={kind === 'sphere' || kind === 'circle' ? handText.centre : handText.through}
        value={place(point, 1)}
      />
      {direction ? <Pair name={handText.direction} value={place(direction, 3)} /> : null}
    </dl>
  )
}

const Pair = ({ name, value }: { readonly name: string; readonly value: string }) => (
  <div className="pair">
    <dt>{name}</dt>
    <dd>{value}</dd>
  </div>
)
