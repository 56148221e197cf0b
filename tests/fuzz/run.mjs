import { spawnSync } from 'node:child_process'
import { writeFileSync } from 'node:fs'
import { cpus } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads'

/**
 * `npm run fuzz [COUNT] [FIRST]`: mutated STL and PLY files through reader and inspection, seeded by their number.
 * Fails when one throws, gives an unsound mesh, takes over 2 s, or the process grows over 1 GiB. The result is kept in
 * tests/fuzz/result.json. Inputs run in a worker, so that one that hangs is named and ended.
 */
const LIMIT_MS = 2000
const LIMIT_BYTES = 2 ** 30
const BATCH = 2000

if (isMainThread) await main()
else await work()

async function main() {
  const root = fileURLToPath(new URL('../../', import.meta.url))
  const { ensureDependencies } = await import('../../src/cli/dependencies.mjs')
  ensureDependencies(root)
  const [count = 200_000, first = 1] = process.argv.slice(2).map(Number)
  const bundle = await bundled(root)
  const started = Date.now()
  const { tally, hung } = await runWatched(bundle, first, count)
  const peakBytes = process.resourceUsage().maxRSS * 1024
  const passed =
    hung === null &&
    tally.unhandled.length === 0 &&
    tally.slowestMs <= LIMIT_MS &&
    peakBytes <= LIMIT_BYTES &&
    tally.inputs === count
  const result = {
    what: 'Result of npm run fuzz: mutated STL and PLY inputs, seeded by their number.',
    revision:
      spawnSync('git', ['rev-parse', '--short', 'HEAD'], { cwd: root, encoding: 'utf8' }).stdout?.trim() ?? 'unknown',
    machine: { node: process.version, processors: cpus().length, platform: process.platform },
    first,
    count,
    seconds: Math.round((Date.now() - started) / 1000),
    peakMebibytes: Math.round(peakBytes / 2 ** 20),
    limits: { milliseconds: LIMIT_MS, mebibytes: LIMIT_BYTES / 2 ** 20 },
    hung,
    ...tally,
    slowestMs: Math.round(tally.slowestMs * 10) / 10,
    passed,
  }
  console.log(JSON.stringify(result, null, 2))
  if (process.argv.length <= 2) {
    writeFileSync(join(root, 'tests', 'fuzz', 'result.json'), `${JSON.stringify(result, null, 2)}\n`)
  }
  process.exitCode = passed ? 0 : 1
}

/** The session as one file in .cache: one folder below the checkout, like tests/, so that shared data are found. */
async function bundled(root) {
  const { build } = await import('vite')
  const outDir = join(root, '.cache')
  const entryFileNames = 'fuzz-session.mjs'
  await build({
    configFile: false,
    root,
    logLevel: 'error',
    build: {
      ssr: 'tests/fuzz/session.ts',
      outDir,
      emptyOutDir: false,
      minify: false,
      rollupOptions: { output: { entryFileNames } },
    },
  })
  return pathToFileURL(join(outDir, entryFileNames)).href
}

function runWatched(bundle, first, count) {
  const heartbeat = new Int32Array(new SharedArrayBuffer(4))
  return new Promise((resolve, reject) => {
    const total = { inputs: 0, meshes: 0, withFaces: 0, failures: {}, slowestMs: 0, slowest: '', unhandled: [] }
    const worker = new Worker(fileURLToPath(import.meta.url), { workerData: { bundle, first, count, heartbeat } })
    let seen = -1
    let since = Date.now()
    const watch = setInterval(() => {
      if (heartbeat[0] !== seen) {
        seen = heartbeat[0]
        since = Date.now()
      } else if (seen > 0 && Date.now() - since > 10 * LIMIT_MS) finish(`input ${seen}`)
    }, 200)
    const finish = (hung) => {
      clearInterval(watch)
      void worker.terminate()
      resolve({ tally: total, hung })
    }
    worker.on('message', (tally) => {
      if (tally === 'done') return finish(null)
      total.inputs += tally.inputs
      total.meshes += tally.meshes
      total.withFaces += tally.withFaces
      for (const [code, n] of Object.entries(tally.failures)) total.failures[code] = (total.failures[code] ?? 0) + n
      total.unhandled.push(...tally.unhandled)
      if (tally.slowestMs > total.slowestMs)
        Object.assign(total, { slowestMs: tally.slowestMs, slowest: tally.slowest })
    })
    worker.on('error', reject)
  })
}

async function work() {
  const { bundle, first, count, heartbeat } = workerData
  const { fuzz } = await import(bundle)
  for (let done = 0; done < count; done += BATCH) {
    const onInput = (n) => {
      heartbeat[0] = n
    }
    parentPort.postMessage(fuzz(first + done, Math.min(BATCH, count - done), onInput))
  }
  parentPort.postMessage('done')
}
