import type { OpenedMesh } from '../../engine/contract.ts'
import type { Failure } from '../../failure.ts'
import type { RepairStep } from '../../geometry/repair.ts'
import type { Workbench } from '../workbench.ts'
import { keepCopies } from './spare-copies.ts'

export interface Reading {
  readonly name: string
  /** null: not said; read as mm. */
  readonly unitFactor: number | null
  readonly repairs: readonly RepairStep[]
}

let nextOpening = 1

/**
 * Reads one mesh file in the opener, with its progress in sight and a way to stop it. What cannot be used is said and
 * gives null; so does a stop.
 */
export async function readMeshFile(
  { store, opener }: Workbench,
  file: Blob,
  reading: Reading,
): Promise<OpenedMesh | null> {
  const id = nextOpening++
  const abort = new AbortController()
  store.getState().startOpening({
    id,
    name: reading.name,
    progress: { fraction: 0, stage: 'waiting' },
    cancel: () => abort.abort(),
  })
  const result = await opener.run(
    'open-mesh',
    { file, ...reading },
    { signal: abort.signal, onProgress: (progress) => store.getState().progressOpening(id, progress) },
  )
  store.getState().endOpening(id)
  if (!result.ok) {
    if (result.failure.code !== 'job/cancelled') store.getState().notify(placed(result.failure, reading.name))
    return null
  }
  const { copies, ...opened } = result.value
  keepCopies(opened.mesh, copies)
  const held = { ...opened, copies: [] }
  store.getState().holdMesh(held, file)
  return held
}

/** The failure with the file's name in its place, so that it is clear which of several files is meant. */
export function placed(failure: Failure, name: string): Failure {
  const place = failure.place && failure.place !== name ? `${name}: ${failure.place}` : name
  return { ...failure, place }
}
