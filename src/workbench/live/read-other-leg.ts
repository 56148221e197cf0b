import { sha256 } from '../../casefile/hash.ts'
import type { OpenedOtherLeg, Progress } from '../../engine/contract.ts'
import type { Result } from '../../failure.ts'
import { runStudy } from '../studies/run-study.ts'
import type { Workbench } from '../workbench.ts'

/** Reads and measures the other leg's two files beside the open case, and keeps its bones for the drawings; the case itself stays. */
export async function readOtherLeg(
  workbench: Workbench,
  files: readonly { readonly file: Blob; readonly name: string }[],
  options: { readonly signal: AbortSignal; readonly onProgress: (progress: Progress) => void },
): Promise<Result<OpenedOtherLeg>> {
  const { store } = workbench
  const document = store.getState().history.present
  const opened = await runStudy(workbench, 'measure-other-leg', { document, files }, options)
  if (!opened.ok) return opened
  const sources: Record<string, Blob> = {}
  for (const { file } of files) sources[await hashOf(file)] = file
  store.getState().holdOtherLeg(opened.value, sources)
  return opened
}

const hashOf = async (file: Blob): Promise<string> => sha256(new Uint8Array(await file.arrayBuffer()))
