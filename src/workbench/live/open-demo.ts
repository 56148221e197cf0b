import type { CaseDocument } from '../../casefile/document.ts'
import type { Workbench } from '../workbench.ts'
import { readMeshFile } from './read-mesh-file.ts'

/** Opens a demo case: its two bones and its own choices. One step, which can be undone. */
export async function openDemo(workbench: Workbench, id: string, title: string): Promise<void> {
  const { store, host } = workbench
  const files = await host.demo(id)
  if (!files.ok) {
    store.getState().notify(files.failure)
    return
  }
  const { femur, tibia, choices } = files.value
  const reading = { unitFactor: 1, repairs: [] }
  const [f, t] = await Promise.all([
    readMeshFile(workbench, femur, { name: femur.name, ...reading }),
    readMeshFile(workbench, tibia, { name: tibia.name, ...reading }),
  ])
  if (!f || !t) return
  store
    .getState()
    .edit(`open ${title}`, (): CaseDocument => ({ ...choices, meshes: { femur: f.reference, tibia: t.reference } }))
  store.getState().showStage('cuts')
}
