import { type PointerEvent, useEffect, useRef, useState } from 'react'
import type { Stroke } from '../store/marker-slice.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** Lines drawn over the view, and the spot that follows the pointer. Pictures of the view do not carry them. */
export function DrawLayer() {
  const { store } = useWorkbench()
  const marker = useWorkbenchState((state) => state.marker)
  const strokes = useWorkbenchState((state) => state.strokes)
  const [drawing, setDrawing] = useState<Stroke | null>(null)
  const layer = useRef<SVGSVGElement>(null)
  const spot = useRef<HTMLSpanElement>(null)
  useEffect(() => {
    if (marker !== 'pointer') return
    const follow = (event: globalThis.PointerEvent) => {
      const box = layer.current?.getBoundingClientRect()
      if (!spot.current || !box) return
      const [x, y] = [event.clientX - box.left, event.clientY - box.top]
      spot.current.hidden = x < 0 || y < 0 || x > box.width || y > box.height
      spot.current.style.transform = `translate(${x}px, ${y}px)`
    }
    window.addEventListener('pointermove', follow)
    return () => window.removeEventListener('pointermove', follow)
  }, [marker])
  if (marker === 'off' && strokes.length === 0) return null
  const at = (event: PointerEvent<SVGSVGElement>): Stroke[number] => {
    const box = event.currentTarget.getBoundingClientRect()
    return [(event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height]
  }
  const finish = () => {
    if (drawing && drawing.length > 1) store.getState().addStroke(drawing)
    setDrawing(null)
  }
  return (
    <>
      <svg
        ref={layer}
        className="draw-layer"
        data-pen={marker === 'pen' ? 'yes' : undefined}
        viewBox="0 0 1 1"
        preserveAspectRatio="none"
        role="img"
        aria-label={`Drawing over the view, ${strokes.length} ${strokes.length === 1 ? 'line' : 'lines'}`}
        onPointerDown={(event) => {
          if (marker !== 'pen') return
          event.currentTarget.setPointerCapture(event.pointerId)
          setDrawing([at(event)])
        }}
        onPointerMove={(event) => {
          if (drawing) setDrawing([...drawing, at(event)])
        }}
        onPointerUp={finish}
        onPointerCancel={() => setDrawing(null)}
      >
        <path className="pen-line" d={[...strokes, ...(drawing ? [drawing] : [])].map(lineOf).join('')} />
      </svg>
      {marker === 'pointer' ? <span ref={spot} className="pointer-spot" aria-hidden="true" hidden /> : null}
    </>
  )
}

const lineOf = (stroke: Stroke): string => `M${stroke.map((p) => p.map((v) => v.toFixed(4)).join(' ')).join('L')}`
