import { existsSync } from 'node:fs'
import { resolve } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('../../shared/', import.meta.url))

/** Where a file of the shared reference data lies: `shared` is a sibling folder of the checkout. */
export function sharedPath(...parts: readonly string[]): string {
  const path = resolve(root, ...parts)
  if (!existsSync(path))
    throw new Error(`Shared test data missing: ${parts.join('/')} in a folder "shared" beside the checkout.`)
  return path
}
