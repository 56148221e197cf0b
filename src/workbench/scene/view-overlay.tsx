import { presetLabels } from '../commands/view-presets.ts'
import { CommandButton } from '../parts/command-button.tsx'
import { presetNames } from '../store/viewport-slice.ts'
import { useWorkbenchState } from '../workbench.ts'
import type { CameraReadout } from './camera-rig.ts'
import { edgeLetters } from './edge-letters.ts'
import { MarkLegend } from './mark-legend.tsx'
import { MeasureKinds } from './measure-kinds.tsx'
import { PieceCaption } from './piece-caption.tsx'
import { ResidualLegend } from './residual-legend.tsx'
import { scaleBar } from './scale-bar.ts'
import { usePlacement } from './use-placement.ts'

/** What lies over the 3D view: presets, letters, scale. */
export function ViewOverlay({ readout }: { readonly readout: CameraReadout | null }) {
  return (
    <div className="view-overlay">
      <div className="view-tools" role="toolbar" aria-label="View">
        {presetNames.map((preset) => (
          <CommandButton key={preset} id={`view.${preset}`} label={presetLabels[preset]} className="chip" />
        ))}
        <span className="tool-gap" />
        <CommandButton id="view.fit" label="Fit" className="chip" />
        <CommandButton id="view.knee" label="Knee" className="chip" />
        <CommandButton id="view.back" iconOnly className="chip" />
        <CommandButton id="view.forward" iconOnly className="chip" />
      </div>
      <div className="view-bottom">
        <div className="view-scale">
          <MeasureKinds />
          {readout ? <ScaleBar readout={readout} /> : null}
        </div>
        <ResidualLegend />
        <MarkLegend />
        <div className="view-switches">
          <CommandButton id="view.perspective" className="chip" />
          <CommandButton id="view.lift" className="chip" />
          <CommandButton id="view.see-through" label="See-through" className="chip" />
          <CommandButton id="view.thickness" className="chip" />
          <CommandButton id="view.section" label="Face" className="chip" />
          <CommandButton id="view.split" label="Before/after" className="chip" />
          <CommandButton id="view.measure" label="Measure" className="chip" />
          <CommandButton id="view.saved" label="Views" className="chip" />
        </div>
      </div>
      <PieceCaption />
      {readout ? <Letters readout={readout} /> : null}
    </div>
  )
}

/** R, L, A, P, S, I at the edges; only where the frame of the files is declared. */
function Letters({ readout }: { readonly readout: CameraReadout }) {
  const frame = useWorkbenchState((state) => state.history.present.frame)
  const placement = usePlacement()
  const letters = edgeLetters(frame, placement, readout)
  if (!letters) return null
  return (
    <div className="edge-letters" style={{ right: readout.coveredRightPx }} aria-hidden="true">
      <span className="edge-letter top">{letters.top}</span>
      <span className="edge-letter bottom">{letters.bottom}</span>
      <span className="edge-letter left">{letters.left}</span>
      <span className="edge-letter right">{letters.right}</span>
    </div>
  )
}

function ScaleBar({ readout }: { readonly readout: CameraReadout }) {
  const bar = scaleBar(readout.mmPerPixel)
  return (
    <div className="scale-bar">
      <span className="scale-bar-line" style={{ width: `${bar.pixels}px` }} />
      <span>
        {bar.mm} mm{readout.orthographic ? '' : ' at the pivot'}
      </span>
    </div>
  )
}
