import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { withLock } from './lock.mjs'

/** Installs the pinned packages when any is absent or of another version; says so on standard error. */
export function ensureDependencies(root) {
  if (dependenciesMatch(root)) return
  withLock(root, () => {
    if (dependenciesMatch(root)) return
    console.error('Installing the pinned packages (npm ci) …')
    const run = runNpm(['ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error'], root)
    if (run.status !== 0) throw new Error('npm ci did not finish; its own message is above.')
  })
}

/** True when what npm last installed is what the lock file asks for. */
export function dependenciesMatch(root) {
  const installedList = join(root, 'node_modules', '.package-lock.json')
  if (!existsSync(installedList)) return false
  const wanted = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')).packages
  const installed = JSON.parse(readFileSync(installedList, 'utf8')).packages
  return Object.entries(wanted).every(
    ([path, entry]) => path === '' || entry.optional || installed[path]?.version === entry.version,
  )
}

function runNpm(args, cwd) {
  const options = { cwd, stdio: ['ignore', 2, 2] }
  const npm = process.env.npm_execpath
  if (npm?.endsWith('.js')) return spawnSync(process.execPath, [npm, ...args], options)
  return process.platform === 'win32'
    ? spawnSync(`npm.cmd ${args.join(' ')}`, { ...options, shell: true })
    : spawnSync('npm', args, options)
}
