import { writeContainer } from '../../casefile/container.ts'
import { sha256 } from '../../casefile/hash.ts'
import { ok, type Result } from '../../failure.ts'
import type { JobContext, JobInput, JobOutput } from '../contract.ts'

/** Packs a case with the files its meshes were read from. */
export async function writeCase(
  { document, sources }: JobInput<'write-case'>,
  context: JobContext,
): Promise<Result<JobOutput<'write-case'>>> {
  const meshes = new Map<string, Uint8Array>()
  for (const source of sources) {
    const bytes = new Uint8Array(await source.arrayBuffer())
    meshes.set(await sha256(bytes), bytes)
  }
  const written = await writeContainer({ document, meshes })
  if (!written.ok) return written
  const bytes = new Uint8Array(written.value)
  context.transfer(bytes.buffer)
  return ok({ bytes })
}
