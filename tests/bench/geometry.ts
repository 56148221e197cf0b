import { execFileSync } from 'node:child_process'
import { mkdirSync, writeFileSync } from 'node:fs'
import { cpus, loadavg, totalmem } from 'node:os'
import { solidLibrary } from '../fixtures/solids.ts'
import { comparisons } from './comparisons.ts'
import { growthPlot } from './growth-plot.ts'
import { openAndReport, openingMemory } from './opening-memory.ts'
import { consumed, type Pair } from './pairs.ts'
import { subject } from './subject.ts'

interface Row extends Pair {
  readonly name: string
  readonly against: string
  readonly triangles: number
  readonly target: number | null
  readonly mostMs: number | null
}

const option = (name: string, fallback: string): string => {
  const at = process.argv.indexOf(`--${name}`)
  return at < 0 ? fallback : (process.argv[at + 1] ?? fallback)
}
const sizes = option('sizes', '20000,200000,1000000,2000000').split(',').map(Number)
const seconds = Number(option('seconds', '1'))
const only = option('only', '')

if (option('open', '') === '') await run()
else openAndReport(option('open', ''), option('who', 'ours'))

async function run(): Promise<void> {
  const library = await solidLibrary()
  const rows: Row[] = []
  for (const size of sizes) {
    const s = subject(size, library)
    console.log(`\n${s.triangles.toLocaleString('en')} triangles`)
    for (const { name, against, target, atMost, upTo, run } of comparisons) {
      if (only !== '' && !`${name} ${against}`.includes(only)) continue
      if (upTo !== undefined && size > upTo) continue
      const pair = run(s, seconds)
      const asked = target?.triangles === size ? target.atLeast : null
      const mostMs = atMost?.triangles === size ? atMost.ms : null
      rows.push({ name, against, triangles: s.triangles, ...pair, target: asked, mostMs })
      console.log(line(rows[rows.length - 1]!))
    }
    s.solid.delete()
  }
  console.log('\nMemory, one opening of a binary STL of 1,000,000 triangles in a process of its own')
  const memory = only === '' ? { ours: openingMemory('ours'), theirs: openingMemory('theirs') } : null
  if (memory) {
    for (const [who, m] of Object.entries(memory)) {
      console.log(
        `  ${who.padEnd(8)} peak ${m.peakMiB.toFixed(0)} MiB above the empty process, ×${m.timesFile.toFixed(1)} of the file`,
      )
    }
  }
  const exponents = growth(rows)
  console.log('\nGrowth of our time, exponent of the number of triangles over all sizes (least squares of logarithms)')
  for (const [name, exponent] of Object.entries(exponents)) console.log(`  ${name.padEnd(46)} ${exponent.toFixed(2)}`)
  if (only === '') keep(rows, exponents, memory)
  if (!Number.isFinite(consumed())) throw new Error('a comparison gave no number')
}

function line(r: Row): string {
  const asked = [
    ...(r.target === null ? [] : [`  asked ≥ ${r.target}: ${r.ratio >= r.target ? 'met' : 'NOT MET'}`]),
    ...(r.mostMs === null ? [] : [`  asked ≤ ${r.mostMs} ms: ${r.ours.medianMs <= r.mostMs ? 'met' : 'NOT MET'}`]),
  ].join('')
  const spread = `${short(r.ratioLow)}…${short(r.ratioHigh)}`
  return `  ${r.name.padEnd(46)} ${short(r.ours.medianMs).padStart(8)} ms  ×${short(r.ratio).padEnd(7)} (${spread}, ${r.pairs} pairs)  ${r.against}${asked}`
}

function short(x: number): string {
  return x >= 100 ? x.toFixed(0) : x >= 1 ? x.toFixed(1) : x.toPrecision(2)
}

function growth(all: readonly Row[]): Record<string, number> {
  const out: Record<string, number> = {}
  for (const name of new Set(all.map((r) => r.name))) {
    const points = sizes.flatMap((_, k) => {
      const ofName = all.filter((r) => r.name === name)
      const n = [...new Set(ofName.map((r) => r.triangles))][k]
      const times = ofName.filter((r) => r.triangles === n).map((r) => r.ours.medianMs)
      return n === undefined ? [] : [[Math.log(n), Math.log(Math.min(...times))] as const]
    })
    if (points.length < 2) continue
    const mx = points.reduce((sum, [x]) => sum + x, 0) / points.length
    const my = points.reduce((sum, [, y]) => sum + y, 0) / points.length
    const sxy = points.reduce((sum, [x, y]) => sum + (x - mx) * (y - my), 0)
    out[name] = sxy / points.reduce((sum, [x]) => sum + (x - mx) ** 2, 0)
  }
  return out
}

function keep(rows: readonly Row[], exponents: Record<string, number>, memory: unknown): void {
  const commit = execFileSync('git', ['rev-parse', '--short', 'HEAD'], { encoding: 'utf8' }).trim()
  const date = new Date().toISOString().slice(0, 10)
  const machine = {
    cpu: cpus()[0]?.model ?? 'unknown',
    cores: cpus().length,
    loadAverage: loadavg(),
    memoryGiB: Math.round(totalmem() / 2 ** 30),
    node: process.version,
  }
  const folder = 'tests/bench/results'
  mkdirSync(folder, { recursive: true })
  writeFileSync(
    `${folder}/${date}-${commit}.json`,
    `${JSON.stringify({ date, commit, machine, seconds, rows, exponents, memory }, null, 1)}\n`,
  )
  writeFileSync(`${folder}/growth.svg`, growthPlot(rows))
  console.log(`\nKept in ${folder}/${date}-${commit}.json and growth.svg`)
}
