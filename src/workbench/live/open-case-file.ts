import { companionsOf } from '../../casefile/companions.ts'
import { type CaseContents, readContainer } from '../../casefile/container.ts'
import type { MeshReference } from '../../casefile/document.ts'
import { sightOfView } from '../store/view-now.ts'
import type { Workbench } from '../workbench.ts'
import { placed, readMeshFile } from './read-mesh-file.ts'
import { readOtherLeg } from './read-other-leg.ts'

/** Opens a saved case in place of the one that is open; its history starts afresh. A case that cannot be read changes nothing. */
export async function openCaseFile(workbench: Workbench, file: File): Promise<void> {
  const { store } = workbench
  const read = await readContainer(new Uint8Array(await file.arrayBuffer()))
  if (!read.ok) {
    store.getState().notify(placed(read.failure, file.name))
    return
  }
  const { femur, tibia } = read.value.document.meshes
  const references = [femur, tibia, ...companionsOf(read.value.document).map(({ file }) => file)]
  const opened = await Promise.all(references.map((reference) => openReference(workbench, read.value, reference)))
  if (opened.includes(false)) return
  store.getState().replaceDocument(read.value.document)
  const { lastView } = read.value.document
  if (lastView) {
    store.setState(sightOfView(lastView))
    store.getState().moveCamera({ kind: 'camera', camera: lastView.camera })
  } else if (femur && tibia) store.getState().showStage('cuts')
  await openOtherLeg(workbench, read.value)
}

/** Brings the other leg's own bones back where the case holds them; without them its mirror image is drawn. */
async function openOtherLeg(workbench: Workbench, { document, meshes }: CaseContents): Promise<void> {
  const files = (document.stance.other?.files ?? []).flatMap((hash) => {
    const bytes = meshes.get(hash)
    return bytes ? [{ file: new Blob([bytes as Uint8Array<ArrayBuffer>]), name: 'other leg' }] : []
  })
  if (files.length < 2) return
  const read = await readOtherLeg(workbench, files, { signal: new AbortController().signal, onProgress: () => {} })
  if (!read.ok && read.failure.code !== 'job/cancelled') workbench.store.getState().notify(read.failure)
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
