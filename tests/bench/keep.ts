import { mkdirSync, writeFileSync } from 'node:fs'
import { availableParallelism, cpus, loadavg } from 'node:os'

/** Writes what a bench found, with the machine it ran on, and says whether what was asked is met. */
export function keepResult(name: string, result: { readonly met: boolean } & Record<string, unknown>): void {
  const machine = {
    cpu: cpus()[0]?.model ?? '',
    cores: availableParallelism(),
    loadAverage: loadavg(),
    node: process.version,
  }
  mkdirSync('tests/bench/results', { recursive: true })
  writeFileSync(`tests/bench/results/${name}.json`, `${JSON.stringify({ machine, ...result }, null, 2)}\n`)
  console.log(`  ${result.met ? 'met' : 'NOT MET'}; kept in tests/bench/results/${name}.json`)
}
