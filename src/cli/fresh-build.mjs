import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { buildParts } from './build-parts.mjs'
import { withLock } from './lock.mjs'

/**
 * Brings the named parts of `dist/` up to date; does nothing, fast, when no source changed. A part is fresh when the
 * list of its sources (names, sizes, times) is that of the last build, or else when their bytes are. Products are built
 * aside and moved into place, so a program that is reading the old ones is not disturbed, nor are two builds at once.
 */
export function ensureBuild(root, names) {
  for (const name of names) {
    const part = buildParts[name]
    ensureBuild(root, part.needs ?? [])
    if (isFresh(root, name, part)) continue
    withLock(root, () => {
      if (!isFresh(root, name, part)) build(root, name, part)
    })
  }
}

function isFresh(root, name, part) {
  if (!part.steps.every((step) => existsSync(join(root, 'dist', step.product)))) return false
  const stamp = readStamp(root, name)
  if (!stamp) return false
  const files = sourceFiles(root, part)
  const list = listHash(files)
  if (stamp.list === list) return true
  const bytes = bytesHash(root, files)
  if (stamp.bytes !== bytes) return false
  writeStamp(root, name, { list, bytes })
  return true
}

function build(root, name, part) {
  console.error(`Building ${name} …`)
  const files = sourceFiles(root, part)
  const stamp = { list: listHash(files), bytes: bytesHash(root, files) }
  for (const step of part.steps) runStep(root, step)
  writeStamp(root, name, stamp)
}

function runStep(root, step) {
  const target = join(root, 'dist', step.product)
  const aside = join(root, 'dist', `.building-${process.pid}`)
  rmSync(aside, { recursive: true, force: true })
  mkdirSync(dirname(target), { recursive: true })
  try {
    const command =
      'script' in step
        ? [join(root, 'dist', step.script), aside]
        : [
            join(root, 'node_modules', 'vite', 'bin', 'vite.js'),
            'build',
            '--logLevel=warn',
            `--outDir=${aside}`,
            ...(step.vite === null ? [] : ['--config=vite.node.config.ts', `--mode=${step.vite}`]),
          ]
    const run = spawnSync(process.execPath, command, { cwd: root, stdio: ['ignore', 2, 2], env: plainWords() })
    if (run.status !== 0) throw new Error(`Building ${step.product} failed; the reason is above.`)
    const isFile = /\.c?js$/.test(step.product)
    moveIntoPlace(isFile ? join(aside, basename(step.product)) : aside, target)
  } finally {
    rmSync(aside, { recursive: true, force: true })
  }
}

/** Colours belong on a terminal, not in a log. */
function plainWords() {
  const { FORCE_COLOR: _forced, ...rest } = process.env
  return process.stderr.isTTY ? process.env : { ...rest, NO_COLOR: '1' }
}

function moveIntoPlace(source, target) {
  const old = `${target}.old-${process.pid}`
  if (existsSync(target) && statSync(target).isDirectory()) renameSync(target, old)
  renameSync(source, target)
  rmSync(old, { recursive: true, force: true })
}

function sourceFiles(root, part) {
  const files = []
  for (const folder of part.folders) walk(root, folder, part.without, files)
  for (const file of part.files) addFile(root, file, files)
  return files.sort((a, b) => (a.path < b.path ? -1 : 1))
}

function walk(root, folder, without, files) {
  if (without.includes(folder) || !existsSync(join(root, folder))) return
  for (const entry of readdirSync(join(root, folder), { withFileTypes: true })) {
    const path = `${folder}/${entry.name}`
    if (entry.isDirectory()) walk(root, path, without, files)
    else addFile(root, path, files)
  }
}

function addFile(root, path, files) {
  const info = statSync(join(root, path), { throwIfNoEntry: false })
  if (info) files.push({ path, size: info.size, time: info.mtimeMs })
}

function listHash(files) {
  return hash(files.map((file) => `${file.path}\0${file.size}\0${file.time}`).join('\n'))
}

function bytesHash(root, files) {
  const whole = createHash('sha256')
  for (const file of files) whole.update(`${file.path}\0${file.size}\0`).update(readFileSync(join(root, file.path)))
  return whole.digest('hex')
}

function hash(text) {
  return createHash('sha256').update(text).digest('hex')
}

function stampPath(root, name) {
  return join(root, 'dist', '.stamps', `${name}.json`)
}

function readStamp(root, name) {
  try {
    return JSON.parse(readFileSync(stampPath(root, name), 'utf8'))
  } catch {
    return null
  }
}

/** A stamp that cannot be written costs only a slower start next time. */
function writeStamp(root, name, stamp) {
  try {
    const path = stampPath(root, name)
    mkdirSync(dirname(path), { recursive: true })
    writeFileSync(`${path}.${process.pid}`, JSON.stringify(stamp))
    renameSync(`${path}.${process.pid}`, path)
  } catch (problem) {
    console.error(`The build stamp could not be written (${problem.code ?? problem.message}).`)
  }
}
