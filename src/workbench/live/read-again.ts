import type { BoneName } from '../../anatomy/terms.ts'
import type { RepairStep } from '../../geometry/repair.ts'
import { boneLabels } from '../text/messages.ts'
import type { Workbench } from '../workbench.ts'
import { readMeshFile } from './read-mesh-file.ts'

/** Reads an open bone's file once more, in another unit or with other repairs; a step of the case like any other. */
export async function readAgain(
  workbench: Workbench,
  bone: BoneName,
  step: string,
  change: { readonly unitFactor?: number; readonly repairs?: readonly RepairStep[] },
): Promise<void> {
  const { store } = workbench
  const state = store.getState()
  const reference = state.history.present.meshes[bone]
  const source = reference ? state.sources[reference.sha256] : undefined
  if (!reference || !source) return
  const opened = await readMeshFile(workbench, source, {
    name: reference.name,
    unitFactor: change.unitFactor ?? reference.unitFactor,
    repairs: change.repairs ?? reference.repairs,
  })
  if (opened) store.getState().useBone(bone, opened, `${step}, ${boneLabels[bone].toLowerCase()}`)
}
