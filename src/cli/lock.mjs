import { mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

const longestWaitMs = 10 * 60_000

/**
 * Runs `work` while no other process of this checkout does. The lock is a file with the owner's process id; a lock whose
 * owner is gone is taken over. Nothing depends on it for correctness (products are moved into place whole): it only
 * keeps two processes from doing the same work twice.
 */
export function withLock(root, work) {
  const folder = join(root, 'dist')
  mkdirSync(folder, { recursive: true })
  const lock = join(folder, '.lock')
  acquire(lock)
  try {
    return work()
  } finally {
    if (ownerOf(lock) === process.pid) rmSync(lock, { force: true })
  }
}

function acquire(lock) {
  const end = Date.now() + longestWaitMs
  while (Date.now() < end) {
    try {
      writeFileSync(lock, String(process.pid), { flag: 'wx' })
      return
    } catch (problem) {
      if (problem.code !== 'EEXIST') throw problem
    }
    const owner = ownerOf(lock)
    if (owner !== null && !isAlive(owner)) takeAway(lock, owner)
    else Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 100)
  }
  throw new Error('Another build has held the lock for ten minutes: remove dist/.lock if none is running.')
}

/** Two waiters may see the same dead owner: only the one whose rename moved that very lock goes on. */
function takeAway(lock, owner) {
  const aside = `${lock}-${process.pid}`
  try {
    renameSync(lock, aside)
    if (ownerOf(aside) !== owner) renameSync(aside, lock)
  } catch (problem) {
    if (problem.code !== 'ENOENT') throw problem
  } finally {
    rmSync(aside, { force: true })
  }
}

function ownerOf(lock) {
  try {
    const owner = Number.parseInt(readFileSync(lock, 'utf8'), 10)
    return Number.isInteger(owner) ? owner : null
  } catch {
    return null
  }
}

function isAlive(pid) {
  try {
    process.kill(pid, 0)
    return true
  } catch (problem) {
    return problem.code === 'EPERM'
  }
}
