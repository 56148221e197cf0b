import { type ReferenceLineName, referenceLines } from '../../anatomy/lay-on-shape.ts'
import { boneOfLandmark } from '../../anatomy/terms.ts'
import { usesOfFit } from '../live/uses-of-fit.ts'
import { handledCuts } from '../scene/cut-handles.ts'
import { handText, referenceLabels } from '../text/hand-words.ts'
import { cutLabels, landmarkLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** What a fitted shape can be made: a cut, a reference line, the place of the chosen landmark. Each is one step of undo. */
export function FitUses() {
  const workbench = useWorkbench()
  const bone = useWorkbenchState((state) => state.handBone)
  const fit = useWorkbenchState((state) => (state.handFit?.ok ? state.handFit.value : null))
  const planned = useWorkbenchState((state) => state.findings !== null)
  const procedure = useWorkbenchState((state) => state.history.present.procedure)
  const landmark = useWorkbenchState((state) => state.activeLandmark)
  if (!fit || !bone) return null
  const { asCut, asReference, asLandmark } = usesOfFit(workbench, fit, bone)
  const lines = (Object.keys(referenceLines) as ReferenceLineName[]).filter(
    (name) => referenceLines[name].bone === bone,
  )
  const centred = fit.kind === 'sphere' || fit.kind === 'circle' || fit.kind === 'cylinder'
  return (
    <fieldset className="fit-uses">
      <legend className="field-label">{handText.useAs}</legend>
      {fit.direction === null
        ? null
        : handledCuts[procedure]
            .filter((cut) => cut.startsWith(bone))
            .map((cut) => (
              <button
                key={cut}
                type="button"
                className="button"
                disabled={!planned}
                title={planned ? handText.cutHint(fit.kind === 'plane') : handText.needsPlan}
                onClick={() => void asCut(cut)}
              >
                {handText.cutOf(cutLabels[cut])}
              </button>
            ))}
      {fit.direction === null
        ? null
        : lines.map((name) => (
            <button key={name} type="button" className="button" onClick={() => asReference(name)}>
              {referenceLabels[name]}
            </button>
          ))}
      {centred && landmark && boneOfLandmark(landmark) === bone ? (
        <button type="button" className="button" onClick={() => asLandmark(landmark)}>
          {handText.centreOf(landmarkLabels[landmark])}
        </button>
      ) : null}
      {centred && !landmark ? <p className="footnote">{handText.chooseForCentre}</p> : null}
    </fieldset>
  )
}
