import { spawn, spawnSync } from 'node:child_process'
import { cpSync, mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync, utimesSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'

const root = fileURLToPath(new URL('../../', import.meta.url))
const program = (word: string) =>
  `export async function run(argv: string[]): Promise<number> {\n  process.stdout.write('${word} ' + argv.join(' '))\n  return argv.length > 1 ? 2 : 0\n}\n`
let folder = ''

/** A small checkout of its own: the real launcher and build configuration around a program of one line. */
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'floorline-launcher-'))
  mkdirSync(join(folder, 'src', 'cli'), { recursive: true })
  for (const name of readdirSync(join(root, 'src', 'cli')).filter((file) => file.endsWith('.mjs')))
    cpSync(join(root, 'src', 'cli', name), join(folder, 'src', 'cli', name))
  for (const name of ['package.json', 'package-lock.json', 'vite.node.config.ts', 'tsconfig.json'])
    cpSync(join(root, name), join(folder, name))
  symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'), 'junction')
  write('first')
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

const write = (word: string) => writeFileSync(join(folder, 'src', 'cli', 'main.ts'), program(word))
const launcher = () => join(folder, 'src', 'cli', 'floorline.mjs')
const launch = (...args: string[]) => spawnSync(process.execPath, [launcher(), ...args], { encoding: 'utf8' })

describe('the launcher', () => {
  it('builds once, hands arguments and exit code through, and keeps its own words off standard output', () => {
    const first = launch('plan', '--json')
    expect(first).toMatchObject({ stdout: 'first plan --json', status: 2 })
    expect(first.stderr).toContain('Building cli')
    expect(launch('plan')).toMatchObject({ stdout: 'first plan', stderr: '', status: 0 })
  })

  it('builds again when a source has changed, and not when only its time has', () => {
    launch('a')
    utimesSync(join(folder, 'src', 'cli', 'main.ts'), new Date(), new Date(Date.now() + 60_000))
    expect(launch('a').stderr).toBe('')
    write('second')
    expect(launch('a')).toMatchObject({ stdout: 'second a', stderr: expect.stringContaining('Building cli') })
  })

  it('says when a build fails, exits with 1, keeps the former product and tries again', () => {
    launch('a')
    writeFileSync(join(folder, 'src', 'cli', 'main.ts'), 'export const = broken')
    expect(launch('a')).toMatchObject({ stdout: '', status: 1, stderr: expect.stringContaining('failed') })
    expect(readdirSync(join(folder, 'dist')).filter((name) => name.startsWith('.building'))).toEqual([])
    write('mended')
    expect(launch('a').stdout).toBe('mended a')
  })

  it('takes over the lock of a process that is gone', () => {
    mkdirSync(join(folder, 'dist'))
    const gone = spawnSync(process.execPath, ['-e', ''])
    writeFileSync(join(folder, 'dist', '.lock'), String(gone.pid))
    expect(launch('a').stdout).toBe('first a')
  })

  it('is safe when several run at once on a fresh checkout: all work, one builds', async () => {
    const runs = await Promise.all(Array.from({ length: 4 }, () => launchAside()))
    expect(runs.map((run) => run.stdout)).toEqual(Array(4).fill('first a'))
    expect(runs.filter((run) => run.stderr.includes('Building cli'))).toHaveLength(1)
  })

  it('ends quietly when its reader has heard enough', async () => {
    launch('a')
    writeFileSync(
      join(folder, 'src', 'cli', 'main.ts'),
      "export async function run(): Promise<number> {\n  process.stdout.write('word '.repeat(1_000_000))\n  return 0\n}\n",
    )
    launch('a')
    const child = spawn(process.execPath, [launcher(), 'a'])
    let stderr = ''
    child.stderr.on('data', (data: Buffer) => {
      stderr += data.toString()
    })
    child.stdout.once('data', () => child.stdout.destroy())
    const status = await new Promise((resolve) => child.once('close', resolve))
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
  })

  it('costs less than 150 ms when nothing has changed', () => {
    launch('a')
    writeFileSync(join(folder, 'bare.mjs'), "import { run } from './dist/cli/main.js'\nawait run(['a'])\n")
    const time = (path: string) => {
      const begun = performance.now()
      spawnSync(process.execPath, [path, 'a'])
      return performance.now() - begun
    }
    const extra = Array.from({ length: 7 }, () => time(launcher()) - time(join(folder, 'bare.mjs'))).sort(
      (a, b) => a - b,
    )
    expect(extra[3]).toBeLessThan(150)
  })
})

function launchAside(): Promise<{ stdout: string; stderr: string }> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [launcher(), 'a'])
    let stdout = ''
    let stderr = ''
    child.stdout.on('data', (data: Buffer) => {
      stdout += data.toString()
    })
    child.stderr.on('data', (data: Buffer) => {
      stderr += data.toString()
    })
    child.once('close', () => resolve({ stdout, stderr }))
  })
}
