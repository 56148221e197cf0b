import { spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { findChromium } from '../src/cli/find-chromium.mjs'

const minutes = 60_000

/**
 * Makes sure a Chromium is there for the browser tests: the system's, else Debian's package (through sudo for a normal
 * user), else the one Playwright keeps in the user's own cache. Throws with what to do when none can be had.
 */
export function ensureChromium(root) {
  if (findChromium() || playwrightsOwn(root)) return
  if (installPackage() && findChromium()) return
  console.error('Fetching the browser that Playwright keeps for this user …')
  run(process.execPath, [join(root, 'node_modules', 'playwright', 'cli.js'), 'install', 'chromium'], 10 * minutes)
  if (playwrightsOwn(root)) return
  throw new Error(
    'No Chromium was found and none could be installed. Install it (Debian, Ubuntu: sudo apt-get install chromium), or ' +
      'name one in FLOORLINE_CHROMIUM, and run npm test again.',
  )
}

function playwrightsOwn(root) {
  const { chromium } = createRequire(join(root, 'package.json'))('playwright')
  return existsSync(chromium.executablePath())
}

function installPackage() {
  if (process.platform !== 'linux' || !isRunnable('apt-get')) return false
  const isRoot = process.getuid() === 0
  if (!isRoot && !isRunnable('sudo')) {
    console.error('No Chromium, and no sudo to install the package with.')
    return false
  }
  console.error(`Installing the package chromium with apt-get${isRoot ? '' : ' (sudo may ask for your password)'} …`)
  const asRoot = isRoot ? [] : ['sudo', ...(process.stdin.isTTY ? [] : ['-n'])]
  const apt = [...asRoot, 'env', 'DEBIAN_FRONTEND=noninteractive', 'apt-get']
  run(apt[0], [...apt.slice(1), 'update', '-q'], 5 * minutes)
  return run(apt[0], [...apt.slice(1), 'install', '-y', '-q', '--no-install-recommends', 'chromium'], 10 * minutes)
}

function isRunnable(command) {
  return spawnSync(command, ['--version'], { stdio: 'ignore' }).status === 0
}

function run(command, args, timeout) {
  return spawnSync(command, args, { stdio: ['inherit', 2, 2], timeout }).status === 0
}
