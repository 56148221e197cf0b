import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { writeContainer } from '../casefile/container.ts'
import { sha256 } from '../casefile/hash.ts'
import { parseCaseText } from '../casefile/schema.ts'
import { fail, ok, type Result } from '../failure.ts'
import { readBytes } from './files.ts'

/** A demo case as it was built. */
export interface DemoCase {
  readonly name: string
  readonly title: string
}

/** Where the build puts the demo cases: `demo` beside the folder of this program, or under `dist` when run from source. */
export function demoFolder(): string | null {
  const here = dirname(fileURLToPath(import.meta.url))
  const places = [join(here, '..', 'demo'), join(here, '..', '..', 'dist', 'demo')]
  return places.find((place) => existsSync(place)) ?? null
}

/** The demo cases that were built; without a build a failure says how to get them. */
export function listDemos(folder: string | null): Result<readonly DemoCase[]> {
  if (folder === null)
    return fail('file/unreadable', 'The demo cases are not built yet.', { hint: 'Run npm start or npm test once.' })
  const names = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && existsSync(join(folder, entry.name, 'case.json')))
    .map((entry) => entry.name)
    .sort()
  const cases: DemoCase[] = []
  for (const name of names) {
    const parsed = parseCaseText(readFileSync(join(folder, name, 'case.json'), 'utf8'))
    if (!parsed.ok) return parsed
    cases.push({ name, title: parsed.value.name })
  }
  return ok(cases)
}

/** The files of one demo case: the case itself, its bones and their known truth. */
export async function demoFiles(folder: string | null, name: string): Promise<Result<ReadonlyMap<string, Uint8Array>>> {
  const demos = listDemos(folder)
  if (!demos.ok) return demos
  const known = demos.value.find((demo) => demo.name === name)
  if (!known || folder === null)
    return fail('file/unreadable', `There is no demo case “${name}”.`, {
      hint: `There are: ${demos.value.map((demo) => demo.name).join(', ')}.`,
      place: name,
    })
  const files = new Map<string, Uint8Array>()
  const meshes = new Map<string, Uint8Array>()
  for (const file of ['femur.ply', 'tibia.ply', 'truth.json']) {
    const bytes = readBytes(join(folder, name, file))
    if (!bytes.ok) return bytes
    files.set(file, bytes.value)
    meshes.set(await sha256(bytes.value), bytes.value)
  }
  const document = parseCaseText(readFileSync(join(folder, name, 'case.json'), 'utf8'))
  if (!document.ok) return document
  const container = await writeContainer({ document: document.value, meshes })
  if (!container.ok) return container
  return ok(new Map([[`${name}.floorline`, container.value], ...files]))
}
