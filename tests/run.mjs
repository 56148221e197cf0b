import { spawnSync } from 'node:child_process'
import { mkdirSync, readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { ensureDependencies } from '../src/cli/dependencies.mjs'
import { ensureBuild } from '../src/cli/fresh-build.mjs'
import { ensureChromium } from './chromium.mjs'

const root = fileURLToPath(new URL('../', import.meta.url))
const cache = join(root, '.cache')
const tally = { passed: 0, failed: 0, skipped: [] }

ensureDependencies(root)
mkdirSync(cache, { recursive: true })

step('format', () => tool('@biomejs/biome/bin/biome', ['check', '--linter-enabled=false', '.']))
step('types', () => tool('typescript/bin/tsc', ['-p', '.', '--noEmit']))
step('lint', () => tool('@biomejs/biome/bin/biome', ['lint', '--error-on-warnings', '.']))
step('build', () => attempt(() => ensureBuild(root, ['cli', 'shell', 'window', 'demo'])))
unitTests()
browserTests()
summary()

function step(name, run) {
  heading(name)
  if (run()) tally.passed += 1
  else {
    tally.failed += 1
    console.log(`FAILED: ${name}`)
  }
}

/** The rooms test is one of these. */
function unitTests() {
  heading('unit tests, rooms included')
  const file = join(cache, 'vitest.json')
  rmSync(file, { force: true })
  tool('vitest/vitest.mjs', ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${file}`])
  const report = readReport(file)
  if (!report) return countFailure('unit tests gave no report')
  tally.passed += report.numPassedTests
  tally.failed += report.numFailedTests
  for (const suite of report.testResults) {
    if (suite.status === 'failed' && suite.assertionResults.every((test) => test.status !== 'failed'))
      countFailure(`${suite.name} could not be run`)
    for (const test of suite.assertionResults)
      if (test.status !== 'passed' && test.status !== 'failed') tally.skipped.push(test.fullName)
  }
}

function browserTests() {
  heading('browser tests')
  if (!attempt(() => ensureChromium(root))) return countFailure('browser tests: no browser')
  const file = join(cache, 'playwright.json')
  rmSync(file, { force: true })
  tool('playwright/cli.js', ['test'], { PLAYWRIGHT_JSON_OUTPUT_FILE: file })
  const report = readReport(file)
  if (!report) return countFailure('browser tests gave no report')
  tally.passed += report.stats.expected
  tally.failed += report.stats.unexpected + report.stats.flaky
  for (const error of report.errors) countFailure(`browser tests: ${error.message}`)
  for (const suite of report.suites) collectSkipped(suite)
}

function collectSkipped(suite) {
  for (const spec of suite.specs ?? [])
    for (const test of spec.tests)
      if (test.status === 'skipped') {
        const reason = test.annotations.find((annotation) => annotation.type === 'skip')?.description
        tally.skipped.push(`${spec.title}${reason ? ` (${reason})` : ''}`)
      }
  for (const inner of suite.suites ?? []) collectSkipped(inner)
}

function summary() {
  heading('sum')
  for (const name of tally.skipped) console.log(`skipped: ${name}`)
  console.log(`${tally.passed} passed, ${tally.failed} failed`)
  process.exitCode = tally.failed === 0 ? 0 : 1
}

function tool(path, args, environment = {}) {
  const run = spawnSync(process.execPath, [join(root, 'node_modules', path), ...args], {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
    env: { ...process.env, ...environment },
  })
  return run.status === 0
}

function attempt(work) {
  try {
    work()
    return true
  } catch (problem) {
    console.log(problem.message)
    return false
  }
}

function readReport(file) {
  try {
    return JSON.parse(readFileSync(file, 'utf8'))
  } catch {
    return null
  }
}

function countFailure(reason) {
  tally.failed += 1
  console.log(`FAILED: ${reason}`)
}

function heading(text) {
  console.log(`\n== ${text} (${Math.round(process.uptime())} s)`)
}
