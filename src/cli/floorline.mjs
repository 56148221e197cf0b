#!/usr/bin/env node
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'

const root = fileURLToPath(new URL('../../', import.meta.url))

/** Brings packages and build up to date where the sources are present, then hands over to the built program. */
async function launch() {
  if (existsSync(join(root, 'src', 'cli', 'main.ts'))) {
    const { ensureDependencies } = await import('./dependencies.mjs')
    const { ensureBuild } = await import('./fresh-build.mjs')
    ensureDependencies(root)
    ensureBuild(root, process.argv[2] === 'demo' ? ['cli', 'demo'] : ['cli'])
  }
  const { run } = await import(pathToFileURL(join(root, 'dist', 'cli', 'main.js')).href)
  return run(process.argv.slice(2))
}

// Whoever reads has heard enough (`| head`): nothing has gone wrong.
for (const stream of [process.stdout, process.stderr])
  stream.on('error', (problem) => {
    if (problem.code !== 'EPIPE') throw problem
    process.exit(process.exitCode ?? 0)
  })

try {
  const code = await launch()
  if (typeof code === 'number') process.exitCode = code
} catch (problem) {
  console.error(problem instanceof Error ? problem.message : String(problem))
  process.exitCode = 1
}
