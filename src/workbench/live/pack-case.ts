import { companionsOf } from '../../casefile/companions.ts'
import type { CaseDocument } from '../../casefile/document.ts'
import type { Result } from '../../failure.ts'
import type { Workbench } from '../workbench.ts'

/** The case with its mesh files as one file's bytes, packed off the main thread. */
export async function packCase(
  { store, drawer }: Workbench,
  document: CaseDocument,
): Promise<Result<Uint8Array<ArrayBuffer>>> {
  const { sources } = store.getState()
  const references = [document.meshes.femur, document.meshes.tibia]
  const files = references.flatMap((reference) => (reference ? (sources[reference.sha256] ?? []) : []))
  const companions = companionsOf(document).flatMap(({ file }) => sources[file.sha256] ?? [])
  const others = (document.stance.other?.files ?? []).flatMap((hash) => sources[hash] ?? [])
  const packed = await drawer.run('write-case', { document, sources: [...files, ...companions, ...others] })
  return packed.ok ? { ok: true, value: packed.value.bytes } : packed
}
