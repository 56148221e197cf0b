import { useCallback, useEffect, useRef, useState } from 'react'
import type { JobInput, JobName, JobOutput, Progress } from '../../engine/contract.ts'
import type { Failure } from '../../failure.ts'
import { useWorkbench } from '../workbench.ts'
import { runStudy } from './run-study.ts'

export interface Study<J extends JobName> {
  readonly output: JobOutput<J> | null
  readonly failure: Failure | null
  readonly progress: Progress | null
  readonly run: (input: JobInput<J>) => void
  readonly cancel: () => void
}

/** One study at a time, with its progress; leaving it stops it. */
export function useStudy<J extends JobName>(job: J): Study<J> {
  const workbench = useWorkbench()
  const [output, setOutput] = useState<JobOutput<J> | null>(null)
  const [failure, setFailure] = useState<Failure | null>(null)
  const [progress, setProgress] = useState<Progress | null>(null)
  const abort = useRef<AbortController | null>(null)
  const cancel = useCallback(() => {
    abort.current?.abort()
    abort.current = null
    setProgress(null)
  }, [])
  const run = useCallback(
    (input: JobInput<J>) => {
      cancel()
      const mine = new AbortController()
      abort.current = mine
      setFailure(null)
      setProgress({ fraction: 0, stage: 'finding landmarks' })
      const onProgress = (next: Progress) => {
        if (abort.current === mine) setProgress(next)
      }
      void runStudy(workbench, job, input, { signal: mine.signal, onProgress }).then((result) => {
        if (abort.current !== mine) return
        abort.current = null
        setProgress(null)
        if (result.ok) setOutput(result.value)
        else setFailure(result.failure)
      })
    },
    [workbench, job, cancel],
  )
  useEffect(() => cancel, [cancel])
  return { output, failure, progress, run, cancel }
}
