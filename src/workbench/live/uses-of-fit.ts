import { layOnShape, type ReferenceLine, type ReferenceLineName, referenceLines } from '../../anatomy/lay-on-shape.ts'
import type { BoneName, LandmarkId } from '../../anatomy/terms.ts'
import type { FittedShape } from '../../geometry/fit-shape.ts'
import type { DrivenCut } from '../../planning/drive.ts'
import { referenceLabels, shapeLabels } from '../text/hand-words.ts'
import { cutLabels, landmarkLabels } from '../text/messages.ts'
import type { Workbench } from '../workbench.ts'

/** What can be made of a shape fitted by hand; each is one named step in the case. */
export function usesOfFit({ store, engine }: Workbench, fit: FittedShape, bone: BoneName) {
  const by = shapeLabels[fit.kind].toLowerCase()
  return {
    /** Overrides of the cut's angles, and of its depth where a plane names one. */
    async asCut(cut: DrivenCut): Promise<void> {
      if (!fit.direction) return
      const document = store.getState().history.present
      const driver =
        fit.kind === 'plane'
          ? ({ kind: 'plane', plane: { point: fit.point, normal: fit.direction } } as const)
          : ({ kind: 'axis', direction: fit.direction } as const)
      const driven = await engine.run('drive-cut', { document, cut, by: driver })
      if (!driven.ok) {
        store.getState().notify(driven.failure)
        return
      }
      const { cuts } = driven.value
      store.getState().edit(`${cutLabels[cut].toLowerCase()} cut on the ${by}`, (now) => ({ ...now, cuts }))
      store.getState().chooseCut(cut)
    },
    /** Both ends of a reference line laid on the shape, and the definition that makes them count. */
    asReference(name: ReferenceLineName): void {
      const state = store.getState()
      const anatomy = bone === 'femur' ? state.femurAnatomy : state.tibiaAnatomy
      const line: ReferenceLine = referenceLines[name]
      const laid = layOnShape(anatomy?.landmarks ?? {}, line, fit)
      if (!laid.ok) {
        state.notify(laid.failure)
        return
      }
      state.edit(`${referenceLabels[name].toLowerCase()} on the ${by}`, (now) => ({
        ...now,
        landmarks: { ...now.landmarks, ...laid.value },
        references: { ...now.references, ...line.as },
      }))
    },
    asLandmark(id: LandmarkId): void {
      store.getState().edit(`${landmarkLabels[id].toLowerCase()} at the ${by}’s centre`, (now) => ({
        ...now,
        landmarks: { ...now.landmarks, [id]: { mm: fit.point, source: 'set' } },
      }))
    },
  }
}
