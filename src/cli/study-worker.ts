import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads'
import { assess } from '../assess.ts'
import { ok } from '../failure.ts'
import { type BatchKnee, batchRow } from '../studies/batch.ts'
import { type StudyCell, sweepPoints, sweepRow, type Vary } from '../studies/sweep.ts'
import { type CaseOptions, openCase, parsedOptions } from './case-source.ts'

/** What the rows of a study depend on; plain data, so that a thread can be given it. */
export type Study =
  | {
      readonly kind: 'sweep'
      readonly caseFile: string | null
      readonly options: CaseOptions
      readonly vary: readonly Vary[]
    }
  | { readonly kind: 'batch'; readonly knees: readonly BatchKnee[] }

type RowMaker = (index: number) => Promise<readonly StudyCell[]>

/** Makes the function that computes one row; a sweep opens its case once. */
export async function rowMaker(study: Study): Promise<RowMaker> {
  if (study.kind === 'batch') return (index) => kneeRow(study.knees[index])
  const opened = await openCase(study.caseFile ?? undefined, study.options)
  const points = sweepPoints(study.vary)
  if (!opened.ok || !points.ok) throw new Error('The study was checked before its rows were asked for.')
  return async (index) => sweepRow(opened.value.document, opened.value.bones, study.vary, points.value[index] ?? [])
}

async function kneeRow(knee: BatchKnee | undefined): Promise<readonly StudyCell[]> {
  if (!knee) return []
  const options = parsedOptions({
    ...knee.options,
    ...(knee.femur === null ? {} : { femur: knee.femur }),
    ...(knee.tibia === null ? {} : { tibia: knee.tibia }),
    set: knee.set,
  })
  if (!options.ok) return batchRow(knee.id, options)
  const opened = await openCase(knee.caseFile ?? undefined, options.value)
  if (!opened.ok) return batchRow(knee.id, opened)
  const { document, bones, warnings } = opened.value
  const findings = assess(document, bones, warnings)
  return batchRow(knee.id, findings.ok ? ok({ findings: findings.value, pose: document.stance.pose }) : findings)
}

/** How many threads a study may use, and whether somebody asked for just that many. */
export interface Threads {
  readonly most: number
  readonly asked: boolean
}

/** Without being asked for, a thread is added only while all of them together stay below this, bytes. */
const memoryBudget = 1.4 * 2 ** 30
/** Rows that each running thread has behind it before what it holds can be judged. */
const rowsToJudge = 3

/**
 * Computes the rows that are not known yet, on several threads where the program is bundled, and hands over each. Two threads
 * begin; another joins, up to `most`, while what the running ones hold leaves room for it.
 */
export async function computeRows(
  study: Study,
  missing: readonly number[],
  { most, asked }: Threads,
  onRow: (index: number, row: readonly StudyCell[]) => void,
): Promise<void> {
  const bundled = import.meta.url.endsWith('.js')
  if (!bundled || most < 2 || missing.length < 2) {
    const make = await rowMaker(study)
    for (const index of missing) onRow(index, await make(index))
    return
  }
  const waiting = [...missing]
  let [started, ended, rows, rowsAtLast] = [0, 0, 0, 0]
  await new Promise<void>((allEnded, broken) => {
    const start = () => {
      started++
      workThrough(study, waiting, received).then(() => ++ended === started && allEnded(), broken)
    }
    const received = (index: number, row: readonly StudyCell[]) => {
      onRow(index, row)
      rows++
      if (started >= most || waiting.length === 0 || rows - rowsAtLast < rowsToJudge * started) return
      if ((process.memoryUsage.rss() * (started + 1)) / started > memoryBudget) return
      rowsAtLast = rows
      start()
    }
    for (let k = 0; k < Math.min(asked ? most : 2, most, missing.length); k++) start()
  })
}

function workThrough(
  study: Study,
  waiting: number[],
  onRow: (index: number, row: readonly StudyCell[]) => void,
): Promise<void> {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: { floorlineStudy: study } })
    const next = () => {
      const index = waiting.shift()
      if (index === undefined) void worker.terminate().then(() => resolve())
      else worker.postMessage(index)
    }
    worker.on('message', (reply: { readonly index: number; readonly row: readonly StudyCell[] } | 'ready') => {
      if (reply !== 'ready') onRow(reply.index, reply.row)
      next()
    })
    worker.on('error', reject)
  })
}

/** In a thread started by `computeRows`: answers indices with rows until it is ended. */
export function serveStudyRows(): void {
  const study = (workerData as { readonly floorlineStudy?: Study } | null)?.floorlineStudy
  if (isMainThread || !study || !parentPort) return
  const port = parentPort
  const maker = rowMaker(study)
  port.on('message', (index: number) => {
    void maker.then(async (make) => port.postMessage({ index, row: await make(index) }))
  })
  void maker.then(() => port.postMessage('ready'))
}
