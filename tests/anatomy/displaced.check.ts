import { mkdirSync, writeFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { makeLeg } from '../../demo-models/leg.ts'
import { type LandmarkId, landmarkIds } from '../../src/anatomy/terms.ts'
import { volume } from '../../src/geometry/measure.ts'
import { flipWinding } from '../../src/geometry/transform.ts'
import { realMesh } from './bones.ts'
import { type Displaced, displacedByHand, displacements, readBone } from './displaced-by-hand.ts'

/** As a case reads a file: wound outward. */
const outward = (name: string) => {
  const mesh = realMesh(name)
  return volume(mesh) > 0 ? mesh : { ...mesh, triangles: flipWinding(mesh.triangles) }
}

/** What is said of one landmark at one distance, over all bones, axes and senses. */
interface Row {
  readonly id: LandmarkId
  readonly mm: number
  readonly sure: number
  readonly fair: number
  readonly doubtful: number
  readonly highestConfidence: number
  /** Of the lowest confidence. */
  readonly reason: string | null
}

it('a landmark set by hand loses its confidence with the distance from where the surface shows it, on every bone', () => {
  const leg = makeLeg({}, { edgeMm: 4 })
  const files = [
    'bp3d/femur_right.stl',
    'bp3d/tibia_right.stl',
    'hra/femur_right.ply',
    'hra/tibia_right.ply',
    'defects/tibia_left_inward.stl',
    'mri/distal_femur_right_1.ply',
    'mri/distal_femur_right_2.ply',
    'mri/proximal_tibia_right_1.stl',
  ]
  const bones = [
    readBone('demo femur', leg.femur),
    readBone('demo tibia', leg.tibia),
    ...files.map((file) => readBone(file, outward(file))),
  ]
  const all = bones.flatMap((bone) => displacedByHand(bone))
  const rows = landmarkIds.flatMap((id) => displacements.map((mm) => rowOf(id, mm, all))).filter((row) => row !== null)
  const beyond = (sds: number) => all.filter((d) => Math.abs(d.mm) > sds * d.foundSdMm)
  const share = (of: readonly Displaced[], word: string) =>
    Number((of.filter((d) => d.word === word).length / Math.max(1, of.length)).toFixed(4))
  const figures = {
    check: 'anatomy/displaced',
    bones: bones.length,
    displacements: all.length,
    beyond2Sd: beyond(2).length,
    sureBeyond2Sd: share(beyond(2), 'sure'),
    sureBeyond2HalfSd: share(beyond(2.5), 'sure'),
    doubtfulBeyond4Sd: share(beyond(4), 'doubtful'),
    reasonsMissing: all.filter((d) => d.word !== 'sure' && d.reason === null).length,
  }
  console.log(`CHECK ${JSON.stringify(figures)}`)
  const folder = new URL('../../assets/calibration/', import.meta.url)
  mkdirSync(folder, { recursive: true })
  writeFileSync(
    new URL('displaced.json', folder),
    `{\n"figures": ${JSON.stringify(figures)},\n"rows": [\n${rows.map((row) => JSON.stringify(row)).join(',\n')}\n]\n}\n`,
  )
  expect(figures.sureBeyond2HalfSd).toBe(0)
  expect(figures.reasonsMissing).toBe(0)
})

function rowOf(id: LandmarkId, mm: number, all: readonly Displaced[]): Row | null {
  const own = all.filter((d) => d.id === id && Math.abs(d.mm) === mm)
  if (own.length === 0) return null
  const count = (word: string) => own.filter((d) => d.word === word).length
  const lowest = own.reduce((low, d) => (d.confidence < low.confidence ? d : low))
  return {
    id,
    mm,
    sure: count('sure'),
    fair: count('fair'),
    doubtful: count('doubtful'),
    highestConfidence: Number(Math.max(...own.map((d) => d.confidence)).toFixed(3)),
    reason: lowest.reason,
  }
}
