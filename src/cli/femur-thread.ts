import { statSync } from 'node:fs'
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads'
import type { FemurAnatomy } from '../anatomy/terms.ts'
import { findFemurOf } from '../casefile/case-anatomy.ts'
import type { CaseDocument } from '../casefile/document.ts'
import type { Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { receivedBone, type SentBone, sentBone } from '../geometry/sent-bone.ts'

/** A second thread that finds the landmarks of a case's femur while this one opens the tibia and finds its. */
export interface FemurThread {
  /** Ends when the femur's anatomy is remembered for this document and bone, or is left to be found when it is asked for. */
  readonly find: (document: CaseDocument, femur: BoneMesh) => Promise<void>
  readonly end: () => void
}

/** A smaller file's landmarks are found sooner than a thread starts. */
const leastBytes = 2_000_000

/** Starts the thread where the program is bundled, this is its main thread, and the named file is large enough; else null. */
export function startFemurThread(path: string | undefined): FemurThread | null {
  const bundled = import.meta.url.endsWith('.js')
  if (!bundled || !isMainThread || path === undefined) return null
  if ((statSync(path, { throwIfNoEntry: false })?.size ?? 0) < leastBytes) return null
  const worker = new Worker(new URL(import.meta.url), { workerData: { floorlineFemur: true }, execArgv: [] })
  worker.unref()
  const answer = new Promise<Result<FemurAnatomy> | null>((resolve) => {
    worker.once('message', resolve)
    // What stopped the thread stops this one too when it does the same, or was only the thread's trouble.
    worker.once('error', () => resolve(null))
  })
  return {
    find: async (document, femur) => {
      worker.ref()
      worker.postMessage({ document, bone: sentBone(femur) } satisfies Question)
      const found = await answer
      worker.unref()
      if (found) findFemurOf(document, femur, found)
    },
    end: () => void worker.terminate(),
  }
}

interface Question {
  readonly document: CaseDocument
  /** A copy: the thread that asks goes on with its own. */
  readonly bone: SentBone
}

/** In the thread started above: answers its one question. */
export function serveFemur(): void {
  const asked = (workerData as { readonly floorlineFemur?: boolean } | null)?.floorlineFemur === true
  if (isMainThread || !asked || !parentPort) return
  const port = parentPort
  port.once('message', ({ document, bone }: Question) => {
    port.postMessage(findFemurOf(document, receivedBone(bone)))
  })
}
