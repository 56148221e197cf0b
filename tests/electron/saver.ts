import { writeSync } from 'node:fs'
import { join } from 'node:path'
import { recovery } from '../../electron/recovery.ts'
import { safeSave } from '../../electron/safe-save.ts'
import { Tokens } from '../../electron/tokens.ts'
import { writeContainer } from '../../src/casefile/container.ts'
import { newCase } from '../../src/casefile/document.ts'
import { sha256 } from '../../src/casefile/hash.ts'
import { seededRandom } from '../../src/geometry/random.ts'

/**
 * The process that `kills.test.ts` kills: saves and autosaves cases without end, numbering each in its notes and telling
 * each number once it is saved. Its mesh has no pattern, so that a container is large enough to be cut in two.
 */
const folder = process.argv[2]!
const first = Number(process.argv[3])
const journal = join(folder, 'own', 'saving')
const unsavedWork = recovery(join(folder, 'own', 'recovery'), journal, new Tokens(), () => undefined)

const random = seededRandom(1)
const mesh = Uint8Array.from({ length: 100_000 }, () => random() * 256)
const hash = await sha256(mesh)
const reference = { sha256: hash, name: 'femur.stl', unitFactor: 1, repairs: [] }

for (let number = first; ; number++) {
  const document = { ...newCase, notes: String(number), meshes: { femur: reference, tibia: null } }
  const packed = await writeContainer({ document, meshes: new Map([[hash, mesh]]) })
  if (!packed.ok) throw new Error(packed.failure.message)
  await unsavedWork.write(packed.value)
  writeSync(1, `recovery ${number}\n`)
  await safeSave(join(folder, 'knee.floorline'), packed.value, journal)
  writeSync(1, `saved ${number}\n`)
}
