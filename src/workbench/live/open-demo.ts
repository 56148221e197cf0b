import type { CaseDocument } from '../../casefile/document.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import type { Workbench } from '../workbench.ts'

/** Opens a demo case: its two bones, and its own choices where it carries any. One step, which can be undone. */
export async function openDemo(workbench: Workbench, id: string, title: string): Promise<void> {
  const { store, host, opener } = workbench
  const files = await host.demo(id)
  if (!files.ok) {
    store.getState().notify(files.failure)
    return
  }
  const { femur, tibia, choices } = files.value
  const opened: OpenedMesh[] = []
  for (const file of [femur, tibia]) {
    const openingId = -1 - opened.length
    const abort = new AbortController()
    store.getState().startOpening({
      id: openingId,
      name: file.name,
      progress: { fraction: 0, stage: 'waiting' },
      cancel: () => abort.abort(),
    })
    const result = await opener.run(
      'open-mesh',
      { file, name: file.name, unitFactor: 1 },
      { signal: abort.signal, onProgress: (progress) => store.getState().progressOpening(openingId, progress) },
    )
    store.getState().endOpening(openingId)
    if (!result.ok) {
      if (result.failure.code !== 'job/cancelled') store.getState().notify(result.failure)
      return
    }
    opened.push(result.value)
    store.getState().holdMesh(result.value)
  }
  const [f, t] = opened as [OpenedMesh, OpenedMesh]
  store.getState().edit(
    `open ${title}`,
    (): CaseDocument => ({
      ...choices,
      meshes: {
        femur: { sha256: f.sha256, name: f.name, unitFactor: 1, repairs: [] },
        tibia: { sha256: t.sha256, name: t.name, unitFactor: 1, repairs: [] },
      },
    }),
  )
  store.getState().showStage('cuts')
  store.getState().moveCamera({ kind: 'fit', what: 'knee' })
}
