import type { Leg } from '../../demo-models/leg.ts'
import { decimated, noisy } from '../../demo-models/variants.ts'
import { findFemur } from '../../src/anatomy/find-femur.ts'
import { findTibia } from '../../src/anatomy/find-tibia.ts'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import { defaultSdMm } from '../../src/anatomy/landmark-sd.ts'
import {
  defaultReferences,
  type FemurAnatomy,
  type Landmark,
  type LandmarkId,
  type TibiaAnatomy,
} from '../../src/anatomy/terms.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { distance, type Vec3 } from '../../src/geometry/vec.ts'
import { type Covered, coveredBy } from './angle-coverage.ts'
import { boneOf } from './bones.ts'
import type { Judgement } from './calibration.ts'

/** Noise in mm (smoothed over neighbours, as segmentation's is) and cells in mm within which vertices are merged. */
export const degradations = [
  { noiseMm: 0, cellMm: 0 },
  { noiseMm: 0.15, cellMm: 0 },
  { noiseMm: 0.3, cellMm: 0 },
  { noiseMm: 0.5, cellMm: 0 },
  { noiseMm: 0.8, cellMm: 0 },
  { noiseMm: 0, cellMm: 4 },
  { noiseMm: 0, cellMm: 6 },
  { noiseMm: 0, cellMm: 8 },
  { noiseMm: 0.3, cellMm: 5 },
  { noiseMm: 0.8, cellMm: 3 },
] as const
export type Degradation = (typeof degradations)[number]

export function degraded(mesh: Mesh, { noiseMm, cellMm }: Degradation, seed: number): Mesh {
  const merged = cellMm > 0 ? decimated(mesh, cellMm) : mesh
  return noiseMm > 0 ? noisy(merged, noiseMm, seed) : merged
}

/** What is said of every landmark of a degraded leg, beside how far it lies from the truth, and its intervals; refused bones are counted. */
export function judgementsOf(
  leg: Leg,
  how: Degradation,
  seed: number,
): {
  readonly judgements: readonly Judgement[]
  readonly refused: number
  /** The 95 % intervals of the angles beside the truth; none where a bone was refused. */
  readonly covered: readonly Covered[]
} {
  const judgements: Judgement[] = []
  let refused = 0
  const knee: { femur?: FemurAnatomy; tibia?: TibiaAnatomy } = {}
  for (const name of ['femur', 'tibia'] as const) {
    const bone = boneOf(degraded(leg[name], how, seed))
    const references = defaultReferences
    const found = name === 'femur' ? findFemur(bone, { references }) : findTibia(bone, { references })
    if (!found.ok) {
      refused++
      continue
    }
    const truth = leg.truth[name].landmarks as Readonly<Record<string, Vec3>>
    const judged = judgedLandmarks(bone.mesh, found.value)
    if ('head' in judged) knee.femur = judged
    else knee.tibia = judged
    const marks = Object.entries(judged.landmarks) as [LandmarkId, Landmark][]
    for (const [id, mark] of marks) {
      const there = truth[id]
      if (there)
        judgements.push({
          id,
          confidence: mark.confidence,
          errorMm: distance(mark.mm, there),
          scatterMm: defaultSdMm[id].sdMm,
        })
    }
  }
  const { femur, tibia } = knee
  return { judgements, refused, covered: femur && tibia ? coveredBy({ femur, tibia }, leg.truth, seed) : [] }
}
