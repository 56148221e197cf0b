import { spawn } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { sweepInterrupted } from '../../electron/safe-save.ts'
import { readContainer } from '../../src/casefile/container.ts'
import { seededRandom } from '../../src/geometry/random.ts'

const kills = 200
const sideBySide = 4
const longestLifeMs = 60
const longestMs = 600_000
let work = ''

beforeAll(async () => {
  work = mkdtempSync(join(tmpdir(), 'floorline-kills-'))
  await build({
    configFile: false,
    root: fileURLToPath(new URL('../../', import.meta.url)),
    logLevel: 'error',
    ssr: { noExternal: true },
    build: {
      ssr: 'tests/electron/saver.ts',
      outDir: work,
      rolldownOptions: { output: { entryFileNames: 'saver.mjs' } },
    },
  })
})

afterAll(() => rmSync(work, { recursive: true, force: true }))

describe(`a process killed ${kills} times at random moments of saving and autosaving`, () => {
  it(
    'always leaves a case that opens and is the last one saved, and nothing else after the next start',
    async () => {
      const outcomes = await Promise.all(
        Array.from({ length: sideBySide }, (_, lane) => killRepeatedly(lane, kills / sideBySide)),
      )
      const all = outcomes.flat()
      expect(all).toHaveLength(kills)
      expect(all.filter((outcome) => outcome.problem !== null)).toEqual([])
      expect(all.filter((outcome) => outcome.leftTemporaryFile).length, 'kills inside a write').toBeGreaterThan(
        kills / 20,
      )
    },
    longestMs,
  )
})

interface Outcome {
  readonly problem: string | null
  readonly leftTemporaryFile: boolean
}

async function killRepeatedly(lane: number, times: number): Promise<Outcome[]> {
  const folder = mkdtempSync(join(work, 'user-'))
  const random = seededRandom(1000 + lane)
  const outcomes: Outcome[] = []
  let saved = -1
  for (let i = 0; i < times; i++) {
    const told = await runAndKill(folder, saved + 1, random() * longestLifeMs)
    const temporary = readdirSync(folder).filter((name) => name.startsWith('.'))
    await sweepInterrupted(join(folder, 'own', 'saving'))
    saved = Math.max(saved, told.saved)
    const recovered = told.recovery < 0 ? null : await newestRecovery(folder)
    outcomes.push({
      problem:
        (await problemWith(join(folder, 'knee.floorline'), saved)) ??
        (told.recovery >= 0 && (recovered === null || recovered < told.recovery) ? 'recovery lost' : null) ??
        litterIn(folder),
      leftTemporaryFile: temporary.length > 0,
    })
    saved = Math.max(saved, (await numberIn(join(folder, 'knee.floorline'))) ?? -1)
    rmSync(join(folder, 'own', 'recovery'), { recursive: true, force: true })
  }
  return outcomes
}

/** Lets the saver work for a random time after its first word, then ends it without warning. */
function runAndKill(folder: string, first: number, lifeMs: number): Promise<{ saved: number; recovery: number }> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [join(work, 'saver.mjs'), folder, String(first)])
    let words = ''
    let errors = ''
    child.stderr.on('data', (data: Buffer) => {
      errors += data.toString()
    })
    child.stdout.on('data', (data: Buffer) => {
      if (words === '') setTimeout(() => child.kill('SIGKILL'), lifeMs)
      words += data.toString()
    })
    child.once('error', reject)
    child.once('close', (_code, signal) => {
      if (signal !== 'SIGKILL') reject(new Error(`The saver ended by itself: ${errors}`))
      const last = (what: string) => Number([...words.matchAll(new RegExp(`${what} (\\d+)\\n`, 'g'))].at(-1)?.[1] ?? -1)
      resolve({ saved: last('saved'), recovery: last('recovery') })
    })
  })
}

/** The file must open and hold the last number told, or the one being saved when the end came. */
async function problemWith(path: string, lastTold: number): Promise<string | null> {
  if (lastTold < 0) return null
  const number = await numberIn(path)
  if (number === null) return 'the saved case does not open'
  return number === lastTold || number === lastTold + 1 ? null : `holds ${number}, ${lastTold} was saved`
}

async function numberIn(path: string): Promise<number | null> {
  try {
    const contents = await readContainer(readFileSync(path))
    return contents.ok ? Number(contents.value.document.notes) : null
  } catch {
    return null
  }
}

async function newestRecovery(folder: string): Promise<number | null> {
  const home = join(folder, 'own', 'recovery')
  const numbers = await Promise.all(readdirSync(home).map((name) => numberIn(join(home, name))))
  return numbers.some((number) => number === null) ? null : Math.max(...(numbers as number[]))
}

function litterIn(folder: string): string | null {
  const known = new Set(['knee.floorline', 'knee.floorline.bak', 'own'])
  const litter = [
    ...readdirSync(folder).filter((name) => !known.has(name)),
    ...readdirSync(join(folder, 'own', 'saving')),
    ...readdirSync(join(folder, 'own', 'recovery')).filter((name) => !/^[0-9a-z-]+\.floorline$/.test(name)),
  ]
  return litter.length === 0 ? null : `left behind: ${litter.join(', ')}`
}
