import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { ensureDependencies } from '../src/cli/dependencies.mjs'
import { ensureBuild } from '../src/cli/fresh-build.mjs'

const root = fileURLToPath(new URL('../', import.meta.url))
const builder = 'electron-builder@26.17.0'

/**
 * Makes the installers of this system from electron/packaging.json. The packaging tool is fetched when asked for: it is
 * large, and nobody needs it to run or test the program. It fetches Electron's binary in its turn.
 */
ensureDependencies(root)
ensureBuild(root, ['shell', 'window', 'demo'])
const { version } = JSON.parse(readFileSync(join(root, 'node_modules', 'electron', 'package.json'), 'utf8'))
const npx = process.platform === 'win32' ? 'npx.cmd' : 'npx'
const run = spawnSync(
  npx,
  [
    '--yes',
    builder,
    '--config=electron/packaging.json',
    `-c.electronVersion=${version}`,
    '--publish=never',
    ...process.argv.slice(2),
  ],
  { cwd: root, stdio: 'inherit', shell: process.platform === 'win32' },
)
process.exitCode = run.status ?? 1
