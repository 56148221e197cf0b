import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

const longestFetchMs = 180_000
const askAgainAfterMs = 24 * 3_600_000

/**
 * Electron's binary, fetched once if need be by the package's own installer, or null. The fetch is bounded in time; one
 * that ran into that bound is not tried again for a day, so a network that swallows packets costs three minutes once.
 */
export function desktopBinary(root) {
  const present = presentBinary(root)
  if (present) return present
  const note = join(root, '.cache', 'desktop-binary-timed-out')
  if (existsSync(note) && Date.now() - Number(readFileSync(note, 'utf8')) < askAgainAfterMs) return null
  console.error('Fetching the desktop window (Electron, about 110 MB, once) …')
  const fetched = spawnSync(process.execPath, [join(root, 'node_modules', 'electron', 'install.js')], {
    stdio: 'ignore',
    timeout: longestFetchMs,
  })
  if (fetched.error?.code === 'ETIMEDOUT') {
    mkdirSync(join(root, '.cache'), { recursive: true })
    writeFileSync(note, String(Date.now()))
  }
  return presentBinary(root)
}

/** The binary if it is on disk already; never starts a download, which importing the package would. */
export function presentBinary(root) {
  const home = join(root, 'node_modules', 'electron')
  const named = join(home, 'path.txt')
  const name = existsSync(named) ? readFileSync(named, 'utf8') : null
  const folder = process.env.ELECTRON_OVERRIDE_DIST_PATH ?? join(home, 'dist')
  const path = name || process.env.ELECTRON_OVERRIDE_DIST_PATH ? join(folder, name ?? 'electron') : null
  return path && existsSync(path) ? path : null
}
