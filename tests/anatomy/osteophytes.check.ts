import { mkdirSync, writeFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { confidenceWord } from '../../src/anatomy/confidence-word.ts'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import { defaultSdMm } from '../../src/anatomy/landmark-sd.ts'
import type { FemurAnatomy, LandmarkId, TibiaAnatomy } from '../../src/anatomy/terms.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { cross, distance, dot, sub, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { boneOf, femurOf, realMesh, tibiaOf } from './bones.ts'
import { bumped } from './bumped.ts'

const bones = [
  ['femur', 'bp3d/femur_right.stl'],
  ['femur', 'hra/femur_right.ply'],
  ['femur', 'other/femur_right_upside_down.stl'],
  ['femur', 'mri/distal_femur_right_1.ply'],
  ['femur', 'mri/distal_femur_right_2.ply'],
  ['femur', 'mri/distal_femur_right_3.ply'],
  ['tibia', 'bp3d/tibia_right.stl'],
  ['tibia', 'hra/tibia_right.ply'],
  ['tibia', 'defects/tibia_left_inward.stl'],
] as const
const eachBone = Number(process.env['BUMPS'] ?? 60)

const read = (kind: 'femur' | 'tibia', mesh: Mesh): FemurAnatomy | TibiaAnatomy =>
  kind === 'femur' ? judgedLandmarks(mesh, femurOf(mesh)) : judgedLandmarks(mesh, tibiaOf(mesh))

/** Where on its knee end a bone gets a bump (one in four a hollow), 3 to 8 mm high and 8 to 20 mm wide. */
function bumpsOf(
  kind: 'femur' | 'tibia',
  { positions: p, triangles: t }: Mesh,
  { frame }: FemurAnatomy | TibiaAnatomy,
  random: () => number,
): readonly Mesh[] {
  const at = (v: number): Vec3 => [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]
  const places: number[] = []
  for (let k = 0; k < t.length; k += 3) {
    const up = dot(sub(at(t[k]!), frame.origin), frame.y)
    if (kind === 'femur' ? up < 40 : up > -30) places.push(k)
  }
  return Array.from({ length: eachBone }, () => {
    const k = places[Math.floor(random() * places.length)]!
    const [a, b, c] = [at(t[k]!), at(t[k + 1]!), at(t[k + 2]!)]
    const heightMm = (random() < 0.25 ? -1 : 1) * (3 + 5 * random())
    return bumped({ positions: p, triangles: t }, a, unit(cross(sub(b, a), sub(c, a))), heightMm, 8 + 12 * random())
  })
}

interface Said {
  readonly id: LandmarkId
  readonly word: 'sure' | 'fair' | 'doubtful'
  /** From where it was found without the bump, in its default scatter. */
  readonly offSd: number
}

it('landmarks that a bump or hollow took along are seldom still sure, and no bump costs a bone its side or its landmarks', () => {
  const random = seededRandom(5)
  const said: Said[] = []
  let otherSide = 0
  for (const [kind, file] of bones) {
    const { mesh } = boneOf(realMesh(file))
    const clean = read(kind, mesh)
    for (const spoiled of bumpsOf(kind, mesh, clean, random)) {
      const found = read(kind, spoiled)
      if (found.side !== clean.side) otherSide++
      for (const [key, mark] of Object.entries(found.landmarks)) {
        const id = key as LandmarkId
        const before = clean.landmarks[id]
        if (before)
          said.push({
            id,
            word: confidenceWord(mark.confidence),
            offSd: distance(mark.mm, before.mm) / defaultSdMm[id].sdMm,
          })
      }
    }
  }
  const share = (of: readonly Said[]) =>
    Number((of.filter(({ offSd }) => offSd <= 2).length / Math.max(1, of.length)).toFixed(3))
  const having = (word: Said['word']) => said.filter((s) => s.word === word)
  const taken = said.filter(({ offSd }) => offSd > 2)
  const figures = {
    check: 'anatomy/osteophytes',
    bones: bones.length,
    bumps: bones.length * eachBone,
    landmarks: said.length,
    otherSide,
    withinWhenSure: share(having('sure')),
    withinWhenFair: share(having('fair')),
    withinWhenDoubtful: share(having('doubtful')),
    takenAlong: taken.length,
    takenAlongStillSure: taken.filter(({ word }) => word === 'sure').length,
  }
  console.log(`CHECK ${JSON.stringify(figures)}`)
  const ids = [...new Set(taken.map(({ id }) => id))].sort()
  const byLandmark = ids.map((id) => {
    const own = taken.filter((s) => s.id === id)
    return { id, takenAlong: own.length, stillSure: own.filter(({ word }) => word === 'sure').length }
  })
  const folder = new URL('../../assets/calibration/', import.meta.url)
  mkdirSync(folder, { recursive: true })
  writeFileSync(new URL('osteophytes.json', folder), `${JSON.stringify({ ...figures, byLandmark }, null, 2)}\n`)
  expect(otherSide).toBe(0)
  expect(figures.withinWhenSure).toBeGreaterThanOrEqual(0.98)
  expect(figures.withinWhenDoubtful).toBeLessThan(0.5)
  expect(figures.withinWhenDoubtful).toBeLessThan(figures.withinWhenFair)
})
