import { spawnSync } from 'node:child_process'
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { cpus } from 'node:os'
import { join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'
import { ensureDependencies } from '../src/cli/dependencies.mjs'
import { ensureBuild } from '../src/cli/fresh-build.mjs'

const root = fileURLToPath(new URL('../', import.meta.url))
const raw = join(root, '.cache', 'check.json')
const committed = join(root, 'tests', 'check-results.json')
const what = 'Last result of every long seeded run (npm run check), each with the revision it ran on.'

/**
 * The long seeded runs (`tests/ROOM/NAME.check.ts`). What each run prints as a line `CHECK {json}` is kept beside its
 * outcome in tests/check-results.json, which is committed; what was not run this time keeps its last result.
 */
ensureDependencies(root)
ensureBuild(root, ['cli', 'demo'])
mkdirSync(join(root, '.cache'), { recursive: true })
const run = spawnSync(
  process.execPath,
  [
    join(root, 'node_modules', 'vitest', 'vitest.mjs'),
    'run',
    '--config=tests/check.config.ts',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${raw}`,
    ...process.argv.slice(2),
  ],
  { cwd: root, stdio: ['ignore', 'pipe', 'inherit'], encoding: 'utf8', maxBuffer: 1 << 28 },
)
process.stdout.write(run.stdout)

const report = JSON.parse(readFileSync(raw, 'utf8'))
const figures = [...run.stdout.matchAll(/^CHECK (\{.*\})$/gm)].map((match) => JSON.parse(match[1]))
const checks = readChecks()
for (const suite of report.testResults) {
  const file = relative(root, suite.name).replaceAll('\\', '/')
  checks[file] = {
    revision: revision(),
    machine: { node: process.version, processors: cpus().length, platform: process.platform },
    seconds: Math.round((suite.endTime - suite.startTime) / 1000),
    figures: figures.filter(({ check }) => file === `tests/${check}.check.ts`),
    tests: suite.assertionResults.map((test) => ({
      name: test.fullName,
      outcome: test.status,
      seconds: Math.round((test.duration ?? 0) / 100) / 10,
    })),
  }
}
const sorted = Object.fromEntries(Object.entries(checks).sort(([a], [b]) => (a < b ? -1 : 1)))
writeFileSync(committed, `${JSON.stringify({ what, checks: sorted }, null, 2)}\n`)
console.log(`${report.numPassedTests} passed, ${report.numFailedTests} failed`)
process.exitCode = run.status === 0 ? 0 : 1

function revision() {
  const git = spawnSync('git', ['rev-parse', '--short', 'HEAD'], { cwd: root, encoding: 'utf8' })
  return git.status === 0 ? git.stdout.trim() : 'unknown'
}

function readChecks() {
  try {
    return JSON.parse(readFileSync(committed, 'utf8')).checks ?? {}
  } catch {
    return {}
  }
}
