import type { BoneName } from '../../anatomy/terms.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import { type Failure, fail } from '../../failure.ts'
import type { Workbench } from '../workbench.ts'

const sure = 0.6
let nextOpening = 1

/**
 * Opens any number of files: each is read and inspected, then takes its place by its shape; where shape does not
 * settle it the window asks. A file that cannot be used leaves everything else as it was.
 */
export async function openFiles(workbench: Workbench, files: readonly File[]): Promise<void> {
  const read = await Promise.all(files.map((file) => openFile(workbench, file)))
  placeBones(
    workbench,
    read.filter((opened) => opened !== null),
  )
}

async function openFile({ store, opener }: Workbench, file: File): Promise<OpenedMesh | null> {
  const id = nextOpening++
  const abort = new AbortController()
  store.getState().startOpening({
    id,
    name: file.name,
    progress: { fraction: 0, stage: 'waiting' },
    cancel: () => abort.abort(),
  })
  const result = await opener.run(
    'open-mesh',
    { file, name: file.name, unitFactor: null },
    { signal: abort.signal, onProgress: (progress) => store.getState().progressOpening(id, progress) },
  )
  store.getState().endOpening(id)
  if (result.ok) return result.value
  if (result.failure.code !== 'job/cancelled') store.getState().notify(placed(result.failure, file.name))
  return null
}

/** The failure with the file's name in its place, so that it is clear which of several files is meant. */
function placed(failure: Failure, name: string): Failure {
  const place = failure.place ? `${name}: ${failure.place}` : name
  return { ...failure, place }
}

function placeBones({ store }: Workbench, opened: readonly OpenedMesh[]): void {
  const taken = new Set<BoneName>()
  const unclear: OpenedMesh[] = []
  for (const mesh of opened) {
    const bone = mesh.boneGuess
    if (mesh.health.closed === false && mesh.declaredTriangles === 0) {
      store.getState().notify(placed(fail('mesh/no-faces', 'The file has no faces.').failure, mesh.name))
    } else if (bone !== 'unknown' && mesh.confidence >= sure && !taken.has(bone)) {
      taken.add(bone)
      store.getState().useBone(bone, mesh)
    } else {
      unclear.push(mesh)
    }
  }
  for (const mesh of unclear) store.getState().ask({ opened: mesh, taken: [...taken] })
}
