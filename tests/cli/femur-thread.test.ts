import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { afterAll, describe, expect, it } from 'vitest'
import { record } from './recorder.ts'

// The built program finds a large femur's landmarks on a second thread; from the sources all is done on one.
const program = pathToFileURL(fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url))).href
const demo = (bone: string) => fileURLToPath(new URL(`../../dist/demo/plover/${bone}.ply`, import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'floorline-thread-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** What the built program prints, started anew as an evaluated module: an option its threads must not inherit. */
function built(...args: readonly string[]): { readonly code: number | null; readonly out: string } {
  const text = `import { run } from ${JSON.stringify(program)}; process.exitCode = await run(${JSON.stringify(args)})`
  const { status, stdout } = spawnSync(process.execPath, ['--input-type=module', '-e', text], {
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  })
  return { code: status, out: stdout }
}

describe('a femur on a thread of its own', () => {
  it('gives to the last digit what one thread gives', async () => {
    const args = ['landmarks', '--femur', demo('femur'), '--tibia', demo('tibia'), '--json']
    const { code, out } = await record(...args)
    expect(code).toBe(0)
    expect(built(...args)).toEqual({ code, out })
  })

  it('fails as one thread fails', async () => {
    const broken = join(folder, 'broken.stl')
    writeFileSync(broken, Buffer.alloc(3_000_000, 'no mesh '))
    const args = ['landmarks', '--femur', demo('femur'), '--tibia', broken, '--json']
    const { code, out } = await record(...args)
    expect(code).toBe(1)
    expect(built(...args)).toEqual({ code, out })
  })
})
