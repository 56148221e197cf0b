import { useCallback, useEffect, useRef, useState } from 'react'
import type { CaseDocument } from '../../casefile/document.ts'
import type { Progress } from '../../engine/contract.ts'
import { sweepOnCrew } from '../../engine/crew.ts'
import type { Failure } from '../../failure.ts'
import { sweepKey } from '../../studies/study-key.ts'
import type { Sweep, Vary } from '../../studies/sweep.ts'
import { openedBone } from '../store/bones-slice.ts'
import { useWorkbench } from '../workbench.ts'

/** Each holds both bones with their trees: more would cost memory before they saved time. */
const mostHands = 4

export interface SweepStudy {
  readonly output: Sweep | null
  readonly failure: Failure | null
  readonly progress: Progress | null
  /** What became of an interrupted run, in words; null: there was none. */
  readonly kept: string | null
  readonly run: (document: CaseDocument, vary: readonly Vary[]) => void
  readonly cancel: () => void
}

/** A sweep in as many workers as there are processors; its rows are kept until it is done, so that it can go on. */
export function useSweep(): SweepStudy {
  const { store, host, hireStudent } = useWorkbench()
  const [output, setOutput] = useState<Sweep | null>(null)
  const [failure, setFailure] = useState<Failure | null>(null)
  const [progress, setProgress] = useState<Progress | null>(null)
  const [kept, setKept] = useState<string | null>(null)
  const abort = useRef<AbortController | null>(null)
  const stop = useCallback(() => {
    abort.current?.abort()
    abort.current = null
    setProgress(null)
  }, [])
  const run = useCallback(
    (document: CaseDocument, vary: readonly Vary[]) => {
      stop()
      const mine = new AbortController()
      abort.current = mine
      setFailure(null)
      setKept(null)
      setProgress({ fraction: 0, stage: 'finding landmarks' })
      const work = async () => {
        const key = await sweepKey(document, vary)
        const known = await host.knownRows(key)
        if (known.size > 0) setKept(`Went on after ${known.size} points of an interrupted run.`)
        const hands = Math.max(1, Math.min(mostHands, navigator.hardwareConcurrency || 1))
        const crew = Array.from({ length: hands }, hireStudent)
        const keeping: Promise<void>[] = []
        const bones = (['femur', 'tibia'] as const).flatMap((bone) => openedBone(store.getState(), bone) ?? [])
        const swept = await sweepOnCrew(crew, {
          document,
          vary,
          bones: bones.map(({ key: held, mesh }) => ({ key: held, mesh })),
          known,
          signal: mine.signal,
          onRow: (index, row, done, count) => {
            keeping.push(host.keepRow(key, index, row))
            if (abort.current === mine)
              setProgress({ fraction: done / count, stage: `${done} of ${count}, ${hands} at once` })
          },
        })
        for (const engine of crew) engine.dispose()
        await Promise.all(keeping)
        if (swept.ok) await host.forgetRows(key)
        if (abort.current !== mine) return
        abort.current = null
        setProgress(null)
        if (swept.ok) setOutput(swept.value)
        else setFailure(swept.failure)
      }
      void work()
    },
    [store, host, hireStudent, stop],
  )
  const cancel = useCallback(() => {
    if (abort.current) setKept('Stopped. Run it again and it goes on from here.')
    stop()
  }, [stop])
  useEffect(() => stop, [stop])
  return { output, failure, progress, kept, run, cancel }
}
