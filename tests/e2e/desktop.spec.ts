import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { _electron, expect, test } from 'playwright/test'

const root = fileURLToPath(new URL('../../', import.meta.url))
const binary = presentBinary()
const hasDisplay = process.platform !== 'linux' || Boolean(process.env['DISPLAY'] || process.env['WAYLAND_DISPLAY'])

test.describe('the desktop window', () => {
  test.skip(binary === null, "Electron's binary is not on this machine and browser tests download nothing")
  test.skip(!hasDisplay, 'there is no display for a desktop window')

  test('opens on our own scheme, isolated, with nothing of Node and no network', async () => {
    const data = mkdtempSync(join(tmpdir(), 'floorline-desktop-'))
    const program = await _electron.launch({
      executablePath: binary!,
      args: ['--no-sandbox', `--user-data-dir=${data}`, root],
      timeout: 60_000,
    })
    try {
      const window = await program.firstWindow()
      await expect(window.getByRole('heading').first()).toBeVisible()
      expect(window.url()).toBe('app://bundle/')
      const found = await window.evaluate(() => ({
        node: typeof Reflect.get(globalThis, 'require') + typeof Reflect.get(globalThis, 'process'),
        bridge: typeof Reflect.get(globalThis, 'floorline'),
      }))
      expect(found).toEqual({ node: 'undefinedundefined', bridge: 'object' })
      const reached = await window.evaluate(() =>
        fetch('https://example.invalid/').then(
          () => true,
          () => false,
        ),
      )
      expect(reached).toBe(false)
    } finally {
      await program.close()
      rmSync(data, { recursive: true, force: true })
    }
  })
})

/** Looks for the file; importing the package would start a download. */
function presentBinary(): string | null {
  const home = join(root, 'node_modules', 'electron')
  const note = join(home, 'path.txt')
  if (!existsSync(note)) return null
  const path = join(process.env['ELECTRON_OVERRIDE_DIST_PATH'] ?? join(home, 'dist'), readFileSync(note, 'utf8'))
  return existsSync(path) ? path : null
}
