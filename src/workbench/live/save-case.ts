import { caseExtension, writeContainer } from '../../casefile/container.ts'
import type { Workbench } from '../workbench.ts'

/** Writes the case and its mesh files as one file, under a name of the case's own. */
export async function saveCase({ store, host }: Workbench): Promise<void> {
  const state = store.getState()
  const { present } = state.history
  const meshes = new Map<string, Uint8Array>()
  for (const reference of [present.meshes.femur, present.meshes.tibia]) {
    const source = reference ? state.sources[reference.sha256] : undefined
    if (reference && source) meshes.set(reference.sha256, new Uint8Array(await source.arrayBuffer()))
  }
  const written = await writeContainer({ document: present, meshes })
  if (!written.ok) {
    state.notify(written.failure)
    return
  }
  const name = `${present.name.replaceAll(/[^\p{L}\p{N} _-]+/gu, '').trim() || 'case'}${caseExtension}`
  const saved = await host.save(name, written.value as Uint8Array<ArrayBuffer>, 'application/octet-stream')
  if (!saved.ok) state.notify(saved.failure)
  else if (saved.value) store.setState({ savedDocument: present })
}
