import { cssColour, divergingColour } from '../charts/colour-map.ts'
import { handText } from '../text/hand-words.ts'
import { useWorkbenchState } from '../workbench.ts'
import { residualSpan } from './residual-span.ts'

const steps = Array.from({ length: 25 }, (_, k) => (k - 12) / 12)

/** What the colours on a painted patch mean, while one is shown. */
export function ResidualLegend() {
  const fit = useWorkbenchState((state) =>
    state.stage === 'landmarks' && state.handPatch?.residualMm && state.handFit?.ok ? state.handFit.value : null,
  )
  if (!fit) return null
  const span = residualSpan(fit)
  return (
    <figure className="view-legend map-legend" aria-label={handText.residual}>
      <figcaption>{handText.residual}</figcaption>
      <svg viewBox="0 0 25 1" preserveAspectRatio="none" aria-hidden="true">
        {steps.map((t, k) => (
          <rect key={t} x={k} width="1.02" height="1" fill={cssColour(divergingColour(t))} />
        ))}
      </svg>
      <p>
        <span>−{span} mm</span>
        <span>0</span>
        <span>+{span} mm</span>
      </p>
      {fit.rejected > 0 ? (
        <p>
          <span>
            <i className="left-out-swatch" /> {handText.leftOut}
          </span>
        </p>
      ) : null}
    </figure>
  )
}
