import type { WorkerLike } from './client.ts'

/** Starts the engine's worker in a browser. */
export const spawnWorker = (): WorkerLike => new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' })
