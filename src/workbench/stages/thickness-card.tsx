import { useEffect, useRef, useState } from 'react'
import { sideFactor } from '../../anatomy/terms.ts'
import type { PieceThickness } from '../../engine/contract.ts'
import type { Failure } from '../../failure.ts'
import type { CutId } from '../../planning/terms.ts'
import { cssColour, divergingColour } from '../charts/colour-map.ts'
import { differenceColour, thicknessSpanMm as spanMm } from '../scene/painted.ts'
import { formatQuantity } from '../text/format.ts'
import { cutLabels, notThere, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** On the cuts stage: thickness of the active cut's piece against its component, over the whole face. */
export function ThicknessCard() {
  const shown = useWorkbenchState((state) => state.thicknessShown && state.stage === 'cuts' && state.plan !== null)
  return shown ? <OpenCard /> : null
}

function OpenCard() {
  const cut = useWorkbenchState((state) => state.activeCut)
  const held = useWorkbenchState((state) => state.findings?.sites.some((site) => site.id.startsWith(`${cut}-`)))
  const meanwhile = useWorkbenchState((state) => state.updating || state.history.gesture !== null)
  const { map, failure } = useThickness(cut)
  const { store } = useWorkbench()
  // The same map lies on the piece in the view, for as long as the card is there.
  useEffect(() => {
    store.getState().paintThickness(map)
    return () => store.getState().paintThickness(null)
  }, [map, store])
  if (!held) return null
  return (
    <section className="contact-card" aria-label="Thickness of the piece">
      <h2 className="section-title">{cutLabels[cut]}</h2>
      {failure ? <p>{failure.message}</p> : null}
      {map ? (
        <>
          <p>Bone of the piece with its kerf, less what the component needs of bone ({neededInWords(map)}).</p>
          <Picture map={map} />
          <Legend />
          <p>
            {formatQuantity(map.minMm, 'mm')} to {formatQuantity(map.maxMm, 'mm')}, mean{' '}
            {formatQuantity(map.meanMm, 'mm')}
            {meanwhile ? ` · ${text.updating}` : ''}
          </p>
        </>
      ) : failure ? null : (
        <p>{text.working}</p>
      )}
    </section>
  )
}

/** The map of the plan as it stands when the hand rests. */
function useThickness(cut: CutId): { map: PieceThickness | null; failure: Failure | null } {
  const { store, drawer } = useWorkbench()
  const plan = useWorkbenchState((state) => (state.history.gesture ? null : state.plan))
  const [answer, setAnswer] = useState<{ map: PieceThickness | null; failure: Failure | null }>({
    map: null,
    failure: null,
  })
  useEffect(() => {
    if (!plan) return
    let wanted = true
    const { femurAnatomy, tibiaAnatomy, history } = store.getState()
    const frame = (cut === 'tibia' ? tibiaAnatomy : femurAnatomy)?.frame
    if (!frame) return
    const up = cut === 'femur-posterior' ? frame.y : frame.x
    const input = { meshes: history.present.meshes, plan, cut, right: frame.z, up }
    void drawer.run('thickness-map', input, { latest: 'thickness-map' }).then((result) => {
      if (!wanted) return
      setAnswer(result.ok ? { map: result.value, failure: null } : { map: null, failure: result.failure })
    })
    return () => {
      wanted = false
    }
  }, [plan, cut, store, drawer])
  return answer
}

/** One figure where both compartments need the same, as where neither is worn. */
function neededInWords({ needed }: PieceThickness): string {
  const words = needed.map(({ neededMm }) => formatQuantity(neededMm, 'mm'))
  return new Set(words).size < 2
    ? (words[0] ?? notThere)
    : needed.map(({ compartment }, k) => `${words[k]} ${compartment}`).join(', ')
}

function Picture({ map }: { readonly map: PieceThickness }) {
  const canvas = useRef<HTMLCanvasElement>(null)
  const side = useWorkbenchState((state) => state.findings?.side ?? 'right')
  useEffect(() => {
    const context = canvas.current?.getContext('2d')
    if (!context) return
    const image = context.createImageData(map.columns, map.rows)
    map.thicknessMm.forEach((mm, k) => {
      if (mm < 0) return
      const [r, g, b] = differenceColour(map.differenceMm?.[k] ?? 0)
      image.data.set([r, g, b, 255], 4 * k)
    })
    context.putImageData(image, 0, 0)
  }, [map])
  const [left, right] = sideFactor(side) > 0 ? ['medial', 'lateral'] : ['lateral', 'medial']
  return (
    <div className="pressure-frame" style={{ aspectRatio: `${map.columns} / ${map.rows}` }}>
      <canvas
        ref={canvas}
        width={map.columns}
        height={map.rows}
        role="img"
        aria-label={`Thickness ${formatQuantity(map.minMm, 'mm')} to ${formatQuantity(map.maxMm, 'mm')}`}
      />
      <span className="map-side left">{left}</span>
      <span className="map-side right">{right}</span>
      <span className="map-side top">{map.cut === 'femur-posterior' ? 'proximal' : 'anterior'}</span>
    </div>
  )
}

const steps = Array.from({ length: 25 }, (_, k) => (k - 12) / 12)

function Legend() {
  return (
    <div className="map-legend">
      <svg viewBox="0 0 25 1" preserveAspectRatio="none" aria-hidden="true">
        {steps.map((t, k) => (
          <rect key={t} x={k} width="1.02" height="1" fill={cssColour(divergingColour(t))} />
        ))}
      </svg>
      <p>
        <span>−{spanMm} thinner</span>
        <span>0</span>
        <span>+{spanMm} mm thicker</span>
      </p>
    </div>
  )
}
