import { statSync } from 'node:fs'
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads'
import type { BoneName, TibiaAnatomy } from '../anatomy/terms.ts'
import { boneFromBytes, type OpenedBone } from '../casefile/bone-from-bytes.ts'
import { findTibiaOf } from '../casefile/case-anatomy.ts'
import type { CaseDocument, MeshReference } from '../casefile/document.ts'
import { fail, ok, type Result } from '../failure.ts'
import { receivedBone, type SentBone, sentBone } from '../geometry/sent-bone.ts'

/** A second thread that opens the tibia of a case and finds its landmarks while this one is at the femur. */
export interface TibiaThread {
  /** The opened tibia, its landmarks remembered for this document; null where there are no bytes. */
  readonly open: (document: CaseDocument, bytes: Uint8Array | undefined) => Promise<Result<OpenedBone>> | null
  readonly end: () => void
}

/** Stands for “not said” until the file has been looked at. */
export const unknownFactor = 0

/** A bone of a case from the bytes of its file. */
export function openBone(
  meshes: ReadonlyMap<string, Uint8Array>,
  bone: BoneName,
  reference: MeshReference,
  shared: boolean,
): Result<OpenedBone> {
  const bytes = meshes.get(reference.sha256)
  if (!bytes) return fail('case/mesh-missing', `The mesh “${reference.name}” is missing.`, { place: reference.sha256 })
  const { name, unitFactor, repairs } = reference
  return boneFromBytes(bytes, name, unitFactor === unknownFactor ? null : unitFactor, { bone, repairs, shared })
}

/** A smaller file is read sooner than a thread starts. */
const leastBytes = 2_000_000

/** Starts the thread where the program is bundled, this is its main thread, and the named file is large enough; else null. */
export function startTibiaThread(path: string | undefined): TibiaThread | null {
  const bundled = import.meta.url.endsWith('.js')
  if (!bundled || !isMainThread || path === undefined) return null
  if ((statSync(path, { throwIfNoEntry: false })?.size ?? 0) < leastBytes) return null
  const worker = new Worker(new URL(import.meta.url), { workerData: { floorlineTibia: true }, execArgv: [] })
  worker.unref()
  const answer = new Promise<Answer | null>((resolve) => {
    worker.once('message', resolve)
    // What stopped the thread stops this one too when it does the same, or was only the thread's trouble.
    worker.once('error', () => resolve(null))
  })
  return {
    open: (document, bytes) => (bytes ? openedAside(worker, answer, document, bytes) : null),
    end: () => void worker.terminate(),
  }
}

interface Question {
  readonly document: CaseDocument
  readonly bytes: Uint8Array
}

interface Answer {
  readonly opened: Result<Omit<OpenedBone, 'bone'> & { readonly bone: SentBone }>
  readonly found: Result<TibiaAnatomy> | null
}

async function openedAside(
  worker: Worker,
  answer: Promise<Answer | null>,
  document: CaseDocument,
  bytes: Uint8Array,
): Promise<Result<OpenedBone>> {
  const question: Question = { document, bytes }
  worker.ref()
  worker.postMessage(question)
  const answered = await answer
  worker.unref()
  if (answered === null) return openTibia(question)
  const { opened, found } = answered
  if (!opened.ok) return opened
  const bone = receivedBone(opened.value.bone)
  if (found) findTibiaOf(document, bone, null, found)
  return ok({ ...opened.value, bone })
}

function openTibia({ document, bytes }: Question): Result<OpenedBone> {
  const reference = document.meshes.tibia
  if (!reference) return fail('case/mesh-missing', 'The case holds no tibia.', { place: 'meshes' })
  const shared = document.meshes.femur?.sha256 === reference.sha256
  return openBone(new Map([[reference.sha256, bytes]]), 'tibia', reference, shared)
}

/** In the thread started above: answers its one question. */
export function serveTibia(): void {
  const asked = (workerData as { readonly floorlineTibia?: boolean } | null)?.floorlineTibia === true
  if (isMainThread || !asked || !parentPort) return
  const port = parentPort
  port.once('message', (question: Question) => {
    const answer = answered(question)
    port.postMessage(answer, answer.opened.ok ? buffersOf(answer.opened.value.bone) : [])
  })
}

function answered(question: Question): Answer {
  const opened = openTibia(question)
  if (!opened.ok) return { opened, found: null }
  const { document } = question
  const { bone } = opened.value
  const alone = document.references.tibialAnterior !== 'femoral'
  return {
    opened: ok({ ...opened.value, bone: sentBone(bone) }),
    found: alone ? findTibiaOf(document, bone, null) : null,
  }
}

/** Memory that is handed over rather than copied. */
function buffersOf({ tree }: SentBone): ArrayBuffer[] {
  const arrays = [tree.mesh.positions, tree.mesh.triangles, tree.skip, tree.start, tree.count, tree.boxes]
  return [...new Set([...arrays.map((array) => array.buffer as ArrayBuffer), tree.packedNodes])]
}
