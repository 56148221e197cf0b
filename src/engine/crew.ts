import type { CaseDocument } from '../casefile/document.ts'
import { type Failure, fail, ok, type Result } from '../failure.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { type StudyCell, type Sweep, sweepOf, sweepPoints, type Vary } from '../studies/sweep.ts'
import type { Engine } from './client.ts'

export interface CrewSweep {
  readonly document: CaseDocument
  readonly vary: readonly Vary[]
  /** Both bones as they are open, for engines that do not hold them yet. */
  readonly bones: readonly { readonly key: string; readonly mesh: Mesh }[]
  /** Rows of an interrupted run: not computed again. */
  readonly known: ReadonlyMap<number, readonly StudyCell[]>
  /** Every new row, as soon as it is there, in the order in which they come. */
  readonly onRow: (index: number, row: readonly StudyCell[], done: number, count: number) => void
  readonly signal: AbortSignal
}

/**
 * A sweep on several engines at once: whichever is free takes the next point. The result depends on the number of engines
 * as little as on who was faster. The first failure of an engine ends it (rows that came before were handed over).
 */
export async function sweepOnCrew(crew: readonly Engine[], input: CrewSweep): Promise<Result<Sweep>> {
  const { document, vary, bones, known, onRow, signal } = input
  const points = sweepPoints(vary)
  if (!points.ok) return points
  const count = points.value.length
  const rows = new Map([...known].filter(([index]) => index < count))
  const waiting = [...points.value.entries()].filter(([index]) => !rows.has(index))
  let broken: Failure | null = null
  const workThrough = async (engine: Engine) => {
    for (const bone of bones) {
      const held = await engine.run('hold-bone', bone, { signal })
      if (!held.ok) broken ??= held.failure
    }
    for (let next = waiting.shift(); next && !broken; next = waiting.shift()) {
      const [index, point] = next
      const made = await engine.run('sweep-row', { document, vary, point }, { signal })
      if (!made.ok) {
        broken ??= made.failure
        return
      }
      rows.set(index, made.value.row)
      onRow(index, made.value.row, rows.size, count)
    }
  }
  await Promise.all(crew.slice(0, Math.max(1, waiting.length)).map(workThrough))
  if (broken) return { ok: false, failure: broken }
  const [first] = crew
  if (!first) return fail('job/internal', 'A sweep needs at least one worker.')
  const head = await first.run('sweep-assumptions', { document }, { signal })
  return head.ok ? ok(sweepOf(vary, rows, head.value.assumptions)) : head
}
