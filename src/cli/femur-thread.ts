import { statSync } from 'node:fs'
import { setFlagsFromString } from 'node:v8'
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads'
import type { FemurAnatomy } from '../anatomy/terms.ts'
import { findFemurOf, judgedFemurOf } from '../casefile/case-anatomy.ts'
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
  // Loops compiled aside go on ten times slower until that is done, and with two threads at work there is no core to do it.
  setFlagsFromString('--no-concurrent-osr')
  const worker = new Worker(new URL(import.meta.url), { workerData: { floorlineFemur: true }, execArgv: [] })
  worker.unref()
  const answer = new Promise<Answer | null>((resolve) => {
    worker.once('message', resolve)
    // What stopped the thread stops this one too when it does the same, or was only the thread's trouble.
    worker.once('error', () => resolve(null))
  })
  return {
    find: async (document, femur) => {
      worker.ref()
      worker.postMessage({ document, bone: sentBone(femur) } satisfies Question)
      const answered = await answer
      worker.unref()
      if (answered === null) return
      const found = findFemurOf(document, femur, answered.found)
      if (found.ok) judgedFemurOf(document, femur, found.value, answered.judged)
    },
    end: () => void worker.terminate(),
  }
}

interface Question {
  readonly document: CaseDocument
  /** A copy: the thread that asks goes on with its own. */
  readonly bone: SentBone
}

interface Answer {
  readonly found: Result<FemurAnatomy>
  /** Null where none was found. */
  readonly judged: FemurAnatomy | null
}

/** In the thread started above: answers its one question. */
export function serveFemur(): void {
  const asked = (workerData as { readonly floorlineFemur?: boolean } | null)?.floorlineFemur === true
  if (isMainThread || !asked || !parentPort) return
  const port = parentPort
  port.once('message', ({ document, bone }: Question) => {
    const femur = receivedBone(bone)
    const found = findFemurOf(document, femur)
    port.postMessage({ found, judged: found.ok ? judgedFemurOf(document, femur, found.value) : null } satisfies Answer)
  })
}
