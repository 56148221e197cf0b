import { beforeAll, describe, expect, it } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { meshKey } from '../../src/casefile/mesh-key.ts'
import type { Engine } from '../../src/engine/client.ts'
import type { JobContext, JobInput, JobName } from '../../src/engine/contract.ts'
import { type CrewSweep, sweepOnCrew } from '../../src/engine/crew.ts'
import { createHandlers } from '../../src/engine/handlers.ts'
import { fail } from '../../src/failure.ts'
import { sweepCsv } from '../../src/report/study-csv.ts'
import { sweepKey } from '../../src/studies/study-key.ts'
import { runSweep, type StudyCell, type Sweep } from '../../src/studies/sweep.ts'
import { bonesOf } from '../assess/shared-bones.ts'
import { expectFailure, expectOk } from '../near.ts'

const bones = bonesOf(['other', 'femur_right_coarse.ply'], ['other', 'tibia_right_coarse.ply'])
const reference = (name: string) => ({ sha256: name.repeat(64).slice(0, 64), name, unitFactor: 1, repairs: [] })
const meshes = { femur: reference('f'), tibia: reference('a') }
const document = { ...newCase, meshes }
const vary = [{ path: 'cuts.tibia.varusDeg', from: 0, to: 2, step: 1 }]
const held = [
  { key: meshKey(meshes.femur), mesh: bones.femur.mesh },
  { key: meshKey(meshes.tibia), mesh: bones.tibia.mesh },
]

interface Thread {
  /** Before every answer. */
  readonly delayMs?: number
  /** A worker that is lost while it is at the row after these. */
  readonly breaksAfterRows?: number
  /** Rows that were computed before, so that they are not computed for every test again. */
  readonly of?: Sweep
}

/** An engine without a thread: the real handlers. */
function engine(thread: Thread): Engine & { readonly rows: () => number } {
  const { delayMs = 0, breaksAfterRows = Number.POSITIVE_INFINITY, of } = thread
  const handlers = createHandlers()
  let rows = 0
  return {
    rows: () => rows,
    pending: () => 0,
    dispose: () => undefined,
    run: async <J extends JobName>(job: J, input: JobInput<J>, options: { readonly signal?: AbortSignal } = {}) => {
      await new Promise((resolve) => setTimeout(resolve, delayMs))
      if (options.signal?.aborted) return fail('job/cancelled', 'The calculation was cancelled.')
      if (job === 'sweep-row' && ++rows > breaksAfterRows) return fail('job/internal', 'The worker was killed.')
      const { point } = input as { readonly point?: readonly number[] }
      const before = of?.rows.find(([at]) => job === 'sweep-row' && at === point?.[0])
      if (before) return { ok: true, value: { row: before } } as never
      const context: JobContext = { progress: () => {}, transfer: () => {}, signal: new AbortController().signal }
      return handlers[job](input as never, context) as never
    },
  }
}

const sweepInput = (part: Partial<CrewSweep> = {}): CrewSweep => ({
  document,
  vary,
  bones: held,
  known: new Map(),
  onRow: () => undefined,
  signal: new AbortController().signal,
  ...part,
})

describe('a sweep on several workers', () => {
  let alone: Sweep
  beforeAll(() => {
    alone = expectOk(runSweep(document, bones, vary))
  })

  it('is the sweep of one thread, byte for byte, for any number of workers and whoever is faster', async () => {
    const crew = [40, 0, 15].map((delayMs) => engine({ delayMs }))
    const told: number[] = []
    const onRow = (_index: number, _row: readonly StudyCell[], done: number) => told.push(done)
    const swept = expectOk(await sweepOnCrew(crew, sweepInput({ onRow })))
    expect(sweepCsv(swept)).toBe(sweepCsv(alone))
    expect(told).toEqual([1, 2, 3])
  })

  it('goes on after a worker was killed with the rows that had come, and ends with the same bytes', async () => {
    const kept = new Map<number, readonly StudyCell[]>()
    const lost = engine({ breaksAfterRows: 1, of: alone })
    const onRow = (index: number, row: readonly StudyCell[]) => kept.set(index, row)
    expectFailure(
      await sweepOnCrew([lost, engine({ breaksAfterRows: 1, of: alone })], sweepInput({ onRow })),
      'job/internal',
    )
    expect(kept.size).toBe(2)
    const again = engine({ of: alone })
    const swept = expectOk(await sweepOnCrew([again], sweepInput({ known: structuredClone(kept) })))
    expect(again.rows()).toBe(1)
    expect(sweepCsv(swept)).toBe(sweepCsv(alone))
  })

  it('stops when it is cancelled, and keeps what had come', async () => {
    const abort = new AbortController()
    let done = 0
    const onRow = () => {
      done++
      abort.abort()
    }
    expectFailure(
      await sweepOnCrew([engine({ of: alone })], sweepInput({ onRow, signal: abort.signal })),
      'job/cancelled',
    )
    expect(done).toBe(1)
  })

  it('is told from another by what its rows depend on, not by names, notes or the order of keys', async () => {
    const key = await sweepKey(document, vary)
    const { seed, ...rest } = document
    expect(
      await sweepKey({ seed, ...rest, notes: 'n', name: 'x', studies: [{ name: 's', vary, outputs: [] }] }, vary),
    ).toBe(key)
    expect(await sweepKey({ ...document, saw: { ...document.saw, kerfMm: 1 } }, vary)).not.toBe(key)
    expect(await sweepKey(document, [{ ...vary[0]!, step: 2 }])).not.toBe(key)
  })
})
