import { Canvas } from '@react-three/fiber'
import { memo, type RefObject, useEffect, useRef, useState } from 'react'
import { ErrorBoundary } from '../parts/error-boundary.tsx'
import { text } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'
import { BeforePane } from './before-pane.tsx'
import { BonePicker } from './bone-picker.tsx'
import { BonesInScene } from './bones-in-scene.tsx'
import { Brush } from './brush.tsx'
import { CameraHost } from './camera-host.tsx'
import { type CameraReadout, CameraRig } from './camera-rig.ts'
import { type SceneColours, useSceneColours } from './colours.ts'
import { CutSheets } from './cut-sheets.tsx'
import { Floor } from './floor.tsx'
import { FoundShapes } from './found-shapes.tsx'
import { FrameCount } from './frame-count.tsx'
import { HandMarks } from './hand-marks.tsx'
import { LandmarkMarks } from './landmark-marks.tsx'
import { Lights } from './lights.tsx'
import { Measure } from './measure.tsx'
import { OtherLeg } from './other-leg.tsx'
import { PictureMaker } from './picture-maker.tsx'
import { PivotByDoubleClick } from './pivot-by-double-click.tsx'
import { PivotMark } from './pivot-mark.tsx'
import type { Placement } from './placement.ts'
import { ProblemMarks } from './problem-marks.tsx'
import { RedrawAfterLoss } from './redraw-after-loss.tsx'
import { SectionCard, sectionStands } from './section-card.tsx'
import { TagLayer, TagLayerContext } from './tag-layer.ts'
import { usePlacement } from './use-placement.ts'
import { useSplit } from './use-split.ts'
import { ViewOverlay } from './view-overlay.tsx'
import { hasWebGl } from './webgl.ts'

/** The 3D view. Draws only when something has changed; without WebGL it says so and everything else works on. */
export function SceneView() {
  const [available] = useState(hasWebGl)
  if (!available) {
    return (
      <p className="part-failed" role="alert">
        {text.noWebGl}
      </p>
    )
  }
  return (
    <ErrorBoundary message={text.viewFailed}>
      <LiveScene />
    </ErrorBoundary>
  )
}

function LiveScene() {
  const holder = useRef<HTMLDivElement>(null)
  const tags = useRef<HTMLDivElement>(null)
  const [layer, setLayer] = useState<TagLayer | null>(null)
  const [rig, setRig] = useState<CameraRig | null>(null)
  const [readout, setReadout] = useState<CameraReadout | null>(null)
  const split = useSplit()
  const section = useWorkbenchState(sectionStands)
  useEffect(() => {
    const element = holder.current
    if (!element) return
    let frame = 0
    const made = new CameraRig(element)
    const words = tags.current ? new TagLayer(tags.current) : null
    made.listen(() => {
      cancelAnimationFrame(frame)
      frame = requestAnimationFrame(() => {
        const now = made.readout()
        words?.keepLeftOf(now.coveredRightPx)
        setReadout(now)
      })
    })
    setRig(made)
    setLayer(words)
    return () => {
      cancelAnimationFrame(frame)
      made.dispose()
      words?.dispose()
    }
  }, [])
  return (
    <div className="scene-panes" data-split={split ? 'yes' : undefined} data-section={section ? 'yes' : undefined}>
      {split && rig ? <BeforePane rig={rig} /> : null}
      <div
        ref={holder}
        className="scene after"
        role="application"
        aria-label="3D view: arrow keys turn it, with Shift they move it, plus and minus bring it nearer and farther"
        aria-describedby="plan-in-words"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the view is turned by the arrow keys
        tabIndex={0}
        onKeyDown={(event) => {
          if (event.ctrlKey || event.metaKey || event.altKey || !rig?.key(event)) return
          event.preventDefault()
          event.stopPropagation()
        }}
      >
        {rig ? (
          <Canvas
            // The controls take hold of every pointer on the holder: clicks end there, not on the canvas.
            eventSource={holder as RefObject<HTMLElement>}
            eventPrefix="offset"
            frameloop="demand"
            flat
            dpr={[1, 2]}
            gl={{ antialias: true, alpha: true, stencil: true, preserveDrawingBuffer: false }}
            role="img"
            aria-label="3D view of the knee"
            aria-describedby="plan-in-words"
          >
            <TagLayerContext value={layer}>
              <SceneContents rig={rig} />
            </TagLayerContext>
          </Canvas>
        ) : null}
      </div>
      <div ref={tags} className="view-tags" />
      <ViewOverlay readout={readout} />
      <SectionCard />
    </div>
  )
}

function SceneContents({ rig }: { readonly rig: CameraRig }) {
  const placement = usePlacement()
  const colours = useSceneColours()
  return <Placed rig={rig} placement={placement} colours={colours} />
}

interface PlacedProps {
  readonly rig: CameraRig
  readonly placement: Placement
  readonly colours: SceneColours
}

/** Each part follows the store by itself; all of them are made anew only when the bones stand elsewhere. */
const Placed = memo(function Placed({ rig, placement, colours }: PlacedProps) {
  const stage = useWorkbenchState((state) => state.stage)
  return (
    <>
      <FrameCount />
      <RedrawAfterLoss />
      <PictureMaker />
      <Lights rig={rig} />
      <BonesInScene placement={placement} colours={colours} />
      {stage === 'stance' ? <OtherLeg placement={placement} colours={colours} /> : null}
      <CutSheets placement={placement} colours={colours} rig={rig} />
      {stage === 'bones' ? <ProblemMarks placement={placement} colours={colours} /> : null}
      <FoundShapes placement={placement} colours={colours} />
      <LandmarkMarks placement={placement} colours={colours} rig={rig} />
      <HandMarks placement={placement} colours={colours} />
      <Brush rig={rig} placement={placement} />
      {stage === 'stance' || stage === 'loading' ? <Floor placement={placement} colours={colours} /> : null}
      <BonePicker placement={placement} />
      <Measure placement={placement} colours={colours} />
      <PivotByDoubleClick rig={rig} placement={placement} />
      <PivotMark rig={rig} colours={colours} />
      <CameraHost rig={rig} placement={placement} />
    </>
  )
})
