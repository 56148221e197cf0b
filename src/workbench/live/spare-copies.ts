import type { Engine } from '../../engine/client.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import type { Result } from '../../failure.ts'
import type { Mesh } from '../../geometry/mesh.ts'

/** Copies of a mesh that its reader made for the workers, until they are handed over. */
const copiesOf = new WeakMap<Mesh, Mesh[]>()

export function keepCopies(mesh: Mesh, copies: readonly Mesh[]): void {
  copiesOf.set(mesh, [...copies])
}

/** Gives a worker a bone to keep: hands over a copy while there is one, else the browser copies it there and then. */
export function giveBone(worker: Engine, { key, mesh }: Pick<OpenedMesh, 'key' | 'mesh'>): Promise<Result<unknown>> {
  const copy = copiesOf.get(mesh)?.pop()
  if (!copy) return worker.run('hold-bone', { key, mesh })
  const transfer = [copy.positions.buffer, copy.triangles.buffer] as Transferable[]
  return worker.run('hold-bone', { key, mesh: copy }, { transfer })
}
