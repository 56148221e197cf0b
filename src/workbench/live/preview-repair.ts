import type { OpenedMesh } from '../../engine/contract.ts'
import type { RepairStep } from '../../geometry/repair.ts'
import type { Workbench } from '../workbench.ts'

/** Shows what a repair would make of an opened surface, beside nothing being changed; the newest wish counts. */
export async function previewRepair({ store, drawer }: Workbench, opened: OpenedMesh, step: RepairStep): Promise<void> {
  const outcome = await drawer.run('preview-repair', { mesh: opened.mesh, step }, { latest: 'preview-repair' })
  if (outcome.ok) store.getState().showPreview({ key: opened.key, step, outcome: outcome.value })
  else if (outcome.failure.code !== 'job/cancelled') store.getState().notify(outcome.failure)
}
