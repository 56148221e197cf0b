import { Eye, EyeOff } from 'lucide-react'
import { useMemo } from 'react'
import { type DrawnShapeId, drawnShapeIds, drawnShapes } from '../../anatomy/drawn-shapes.ts'
import { type ShapeLine, shapeLines } from '../../report/shape-lines.ts'
import { useReason } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { notThere } from '../text/messages.ts'
import { sceneText, shapeNames } from '../text/scene-words.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** Fits, shapes and reference lines that are no landmarks; each can be drawn on its bone, and is while it is pointed at. */
export function ShapesSection() {
  const { store } = useWorkbench()
  const findings = useWorkbenchState((state) => state.findings)
  const femur = useWorkbenchState((state) => state.femurAnatomy)
  const tibia = useWorkbenchState((state) => state.tibiaAnatomy)
  const none = useWorkbenchState((state) => state.shapesShown.size === 0)
  const there = useMemo(() => new Set(drawnShapes(femur, tibia).map(({ id }) => id)), [femur, tibia])
  if (!findings) return null
  const lines = shapeLines(findings)
  const others = drawnShapeIds.filter((id) => there.has(id) && !lines.some(({ draws }) => draws === id))
  return (
    <Section title="Fits and shapes" aside={sceneText.drawn}>
      <dl className="shape-lines">
        {lines.map((line) => (
          <div key={line.label}>
            <dt>
              {line.label}
              {line.draws && there.has(line.draws) ? <ShownSwitch id={line.draws} /> : null}
            </dt>
            <dd>{line.words ?? <NotTold line={line} />}</dd>
          </div>
        ))}
        {others.map((id) => (
          <div key={id}>
            <dt>
              {shapeNames[id]}
              <ShownSwitch id={id} />
            </dt>
          </div>
        ))}
      </dl>
      <button type="button" className="button wide" onClick={() => store.getState().showShapes(none ? [...there] : [])}>
        {none ? sceneText.drawAll : sceneText.drawNone}
      </button>
    </Section>
  )
}

/** Why a fit is not told, where its number would stand. */
function NotTold({ line }: { readonly line: ShapeLine }) {
  const reason = useReason(line.path, null)
  return reason ? <span className="footnote">{reason}</span> : notThere
}

function ShownSwitch({ id }: { readonly id: DrawnShapeId }) {
  const { store } = useWorkbench()
  const shown = useWorkbenchState((state) => state.shapesShown.has(id))
  const Icon = shown ? Eye : EyeOff
  const toggle = () => {
    const now = store.getState().shapesShown
    store.getState().showShapes(shown ? [...now].filter((other) => other !== id) : [...now, id])
  }
  const pointAt = () => store.getState().pointAtShape(id)
  const leave = () => store.getState().pointAtShape(null)
  return (
    <button
      type="button"
      className="field-reset shown-switch"
      aria-pressed={shown}
      aria-label={sceneText.draw(shapeNames[id])}
      title={sceneText.draw(shapeNames[id])}
      onClick={toggle}
      onPointerEnter={pointAt}
      onPointerLeave={leave}
      onFocus={pointAt}
      onBlur={leave}
    >
      <Icon aria-hidden size="1.1em" />
    </button>
  )
}
