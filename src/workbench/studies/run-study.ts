import type { JobInput, JobName, JobOutput, Progress } from '../../engine/contract.ts'
import type { Result } from '../../failure.ts'
import { openedBone } from '../store/bones-slice.ts'
import type { Workbench } from '../workbench.ts'

/** Hands both bones to the student, then runs the study there; stopping it ends the worker at once. */
export async function runStudy<J extends JobName>(
  { store, student }: Workbench,
  job: J,
  input: JobInput<J>,
  options: { readonly signal: AbortSignal; readonly onProgress: (progress: Progress) => void },
): Promise<Result<JobOutput<J>>> {
  const state = store.getState()
  for (const bone of ['femur', 'tibia'] as const) {
    const opened = openedBone(state, bone)
    if (opened) void student.run('hold-bone', { key: opened.key, mesh: opened.mesh }, { signal: options.signal })
  }
  return student.run(job, input, options)
}
