import { Section } from '../parts/section.tsx'
import { StudyProgress } from '../studies/study-progress.tsx'
import { useStudy } from '../studies/use-study.ts'
import { formatQuantity } from '../text/format.ts'
import { poseLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** Which tibial varus stands level side to side here: an answer with what it leaves, never a recommendation. */
export function LevelSection() {
  const { store } = useWorkbench()
  const { output, failure, progress, run, cancel } = useStudy('find-level')
  const ready = useWorkbenchState((state) => state.findings !== null)
  const level = output?.level
  return (
    <Section title="Level finder" aside="an answer, not advice">
      <button
        type="button"
        className="button wide"
        disabled={!ready || progress !== null}
        onClick={() => run({ document: store.getState().history.present })}
      >
        Which varus stands level here?
      </button>
      <StudyProgress progress={progress} onCancel={cancel} />
      {failure ? <p role="alert">{failure.message}</p> : null}
      {level ? (
        <div className="achieved">
          <p>
            <strong>{formatQuantity(level.varusDeg, 'deg')} varus</strong> stands level side to side,{' '}
            {poseLabels[level.pose].toLowerCase()}; front to back {formatQuantity(level.trayToFloorSagittalDeg, 'deg')}{' '}
            is left.
          </p>
          <p>
            Shear to compression {formatQuantity(level.shearVertical, 'ratio')} straight down,{' '}
            {formatQuantity(level.shearTibialAxis, 'ratio')} along the tibia.
          </p>
          <p>
            Half spacing {formatQuantity(level.hipHalfSpacingMm, 'mm')} at the hips,{' '}
            {formatQuantity(level.ankleHalfSpacingMm, 'mm')} at the ankles, {level.spacingSource}.{' '}
            {level.limitsAllow
              ? 'Inside the entered limits.'
              : level.limits.some((limit) => limit.status === null)
                ? '▲ A limit is not judged: its number is withheld.'
                : '▲ Beyond an entered limit.'}
          </p>
          <button
            type="button"
            className="button"
            onClick={() =>
              store.getState().edit(`tibia varus ${formatQuantity(level.varusDeg, 'deg')}, level`, (document) => ({
                ...document,
                cuts: { ...document.cuts, tibia: { ...document.cuts.tibia, varusDeg: level.varusDeg } },
              }))
            }
          >
            Try it
          </button>
        </div>
      ) : null}
    </Section>
  )
}
