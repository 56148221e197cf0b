import { fileURLToPath } from 'node:url'
import { ensureBuild } from '../../src/cli/fresh-build.mjs'

/** Browser tests run against the built window and the built demo legs. */
export default function buildBeforeTests() {
  ensureBuild(fileURLToPath(new URL('../../', import.meta.url)), ['window', 'demo'])
}
