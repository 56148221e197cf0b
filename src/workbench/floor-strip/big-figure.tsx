import { useReason } from '../parts/figure.tsx'
import { formatQuantity } from '../text/format.ts'
import { boneLabels, notThere, poseLabels, text } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'
import { useShownStance } from './shown-stance.ts'
import { tiltWords } from './tilt-words.ts'

/** The tray's tilt to the floor, side to side, and what it means in words. */
export function BigFigure() {
  const { pose, stance, index } = useShownStance()
  const coronal = stance?.trayToFloorCoronalDeg
  const reason = useReason(`stance.${index}.trayToFloorCoronalDeg`, coronal ?? null)
  return (
    <div className="big-figure">
      <p className="big-number">
        <output
          aria-label="Tray to floor, side to side"
          className={reason && stance ? 'spoiled' : ''}
          title={reason ?? undefined}
        >
          {coronal === undefined ? notThere : formatQuantity(Math.abs(coronal), 'deg')}
        </output>
      </p>
      {stance ? (
        <>
          <p className="big-words">{tiltWords(stance)}</p>
          <p className="big-pose">
            {poseLabels[pose]}, spacing {stance.spacingSource}
            {Math.abs(stance.pelvisTiltDeg) >= 0.05
              ? `, pelvis ${formatQuantity(stance.pelvisTiltDeg, 'deg', { signed: true })}`
              : ''}
          </p>
        </>
      ) : (
        <p className="big-words">
          <WhyNothingStands />
        </p>
      )}
    </div>
  )
}

function WhyNothingStands() {
  const meshes = useWorkbenchState((state) => state.history.present.meshes)
  const failure = useWorkbenchState((state) => state.failure)
  const updating = useWorkbenchState((state) => state.updating)
  if (failure) return <>Withheld: {failure.message}</>
  if (meshes.femur && meshes.tibia) return <>{updating ? text.working : ''}</>
  if (meshes.femur || meshes.tibia)
    return <>Waits for the {boneLabels[meshes.femur ? 'tibia' : 'femur'].toLowerCase()}.</>
  return <>The leg stands here once a femur and a tibia are open.</>
}
