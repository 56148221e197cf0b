import { createHash } from 'node:crypto'
import { appendFileSync, existsSync, mkdirSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { makeLeg, randomLegParameters } from '../../demo-models/leg.ts'
import { type Misses, missesOf, type Spoiler, spoilers } from './spoiled-legs.ts'

/** One leg in one state, and how long finding it took. */
export interface LegRow extends Misses {
  readonly seed: number
  readonly how: Spoiler
  readonly seconds: number
  /** Making the leg, told at its first state. */
  readonly makingSeconds: number
}

/**
 * Every extreme leg up to seed `legs` in every state, each leg made once. Rows are kept below `.cache/legs` under the bytes of what
 * they are made with, so that an interrupted run goes on; `upTo` ends this run after so many seconds.
 */
export function legRows(legs: number, upTo = Number.POSITIVE_INFINITY): readonly LegRow[] {
  const begun = performance.now()
  const file = join('.cache', 'legs', `${sourcesHash()}.jsonl`)
  mkdirSync(join('.cache', 'legs'), { recursive: true })
  const lines = existsSync(file) ? readFileSync(file, 'utf8').split('\n').filter(Boolean) : []
  const rows = lines.map((line): LegRow => JSON.parse(line))
  const known = new Set(rows.map(({ seed, how }) => `${seed} ${how}`))
  for (let seed = 1; seed <= legs && performance.now() - begun < 1000 * upTo; seed++) {
    const missing = spoilers.filter((how) => !known.has(`${seed} ${how}`))
    if (missing.length === 0) continue
    const from = performance.now()
    const leg = makeLeg(randomLegParameters(seed, { extreme: true }))
    let makingSeconds = (performance.now() - from) / 1000
    for (const how of missing) {
      const start = performance.now()
      const misses = missesOf(leg, how, seed)
      const row: LegRow = { seed, how, seconds: (performance.now() - start) / 1000, makingSeconds, ...misses }
      makingSeconds = 0
      rows.push(row)
      appendFileSync(file, `${JSON.stringify(row)}\n`)
    }
  }
  return rows.filter(({ seed }) => seed <= legs)
}

/** What a row hangs on: the legs, geometry, the finders, and what spoils and compares. */
function sourcesHash(): string {
  const hash = createHash('sha256')
  for (const folder of ['demo-models', 'src/geometry', 'src/anatomy'])
    for (const path of readdirSync(folder, { recursive: true, encoding: 'utf8' }).sort())
      if (path.endsWith('.ts')) hash.update(path).update(readFileSync(join(folder, path)))
  hash.update(readFileSync('tests/anatomy/spoiled-legs.ts'))
  return hash.digest('hex').slice(0, 16)
}
