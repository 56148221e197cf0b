import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { makeLeg } from '../../demo-models/leg.ts'
import { writeStl } from '../../src/formats/write-stl.ts'

/** Files of a leg whose two bones have about so many triangles each, on the mean. */
export interface LegFiles {
  readonly trianglesPerBone: number
  readonly femur: string
  readonly tibia: string
  readonly triangles: { readonly femur: number; readonly tibia: number }
}

const folder = '.cache/bench'
/** Triangles of a bone, on the mean, at edges of 1 mm. */
const atOneMm = 148_300

/** The ordinary demo leg as binary STL, meshed once for a size and kept in the cache. */
export function legFiles(trianglesPerBone: number): LegFiles {
  const edgeMm = Math.sqrt(atOneMm / trianglesPerBone)
  const file = (bone: string) => join(folder, `${bone}-${trianglesPerBone}.stl`)
  if (!existsSync(file('femur')) || !existsSync(file('tibia'))) {
    mkdirSync(folder, { recursive: true })
    const leg = makeLeg({}, { edgeMm })
    for (const bone of ['femur', 'tibia'] as const) {
      writeFileSync(`${file(bone)}.part`, writeStl(leg[bone]))
      renameSync(`${file(bone)}.part`, file(bone))
    }
  }
  const count = (path: string): number => new DataView(readFileSync(path).buffer.slice(80, 84)).getUint32(0, true)
  return {
    trianglesPerBone,
    femur: file('femur'),
    tibia: file('tibia'),
    triangles: { femur: count(file('femur')), tibia: count(file('tibia')) },
  }
}
