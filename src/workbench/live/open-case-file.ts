import { type CaseContents, readContainer } from '../../casefile/container.ts'
import type { MeshReference } from '../../casefile/document.ts'
import { sightOfView } from '../store/view-now.ts'
import type { Workbench } from '../workbench.ts'
import { placed, readMeshFile } from './read-mesh-file.ts'

/** Opens a saved case in place of the one that is open; its history starts afresh. A case that cannot be read changes nothing. */
export async function openCaseFile(workbench: Workbench, file: File): Promise<void> {
  const { store } = workbench
  const read = await readContainer(new Uint8Array(await file.arrayBuffer()))
  if (!read.ok) {
    store.getState().notify(placed(read.failure, file.name))
    return
  }
  const { femur, tibia } = read.value.document.meshes
  const opened = await Promise.all([femur, tibia].map((reference) => openReference(workbench, read.value, reference)))
  if (opened.includes(false)) return
  store.getState().replaceDocument(read.value.document)
  const { lastView } = read.value.document
  if (lastView) {
    store.setState(sightOfView(lastView))
    store.getState().moveCamera({ kind: 'camera', camera: lastView.camera })
  } else if (femur && tibia) store.getState().showStage('cuts')
}

async function openReference(
  workbench: Workbench,
  { meshes }: CaseContents,
  reference: MeshReference | null,
): Promise<boolean> {
  if (!reference) return true
  const bytes = meshes.get(reference.sha256)
  if (!bytes) return false
  const { name, unitFactor, repairs } = reference
  const blob = new Blob([bytes as Uint8Array<ArrayBuffer>])
  return (await readMeshFile(workbench, blob, { name, unitFactor, repairs })) !== null
}
