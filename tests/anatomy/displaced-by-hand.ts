import { confidenceWord } from '../../src/anatomy/confidence-word.ts'
import { femoralShape } from '../../src/anatomy/femoral-shape.ts'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import { defaultSdMm } from '../../src/anatomy/landmark-sd.ts'
import type { FemurAnatomy, Landmark, LandmarkId, TibiaAnatomy } from '../../src/anatomy/terms.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { addScaled, type Vec3 } from '../../src/geometry/vec.ts'
import { boneOf, femurOf, tibiaOf } from './bones.ts'

/** One bone read without a hand, to put its landmarks elsewhere by hand. */
export interface ReadBone {
  readonly name: string
  readonly mesh: Mesh
  readonly alone: FemurAnatomy | TibiaAnatomy
  /** Its landmarks as they are judged where they were found. */
  readonly judged: Readonly<Partial<Record<LandmarkId, Landmark>>>
}

export function readBone(name: string, mesh: Mesh): ReadBone {
  const femur = name.includes('femur') ? femurOf(mesh) : null
  const alone = femur ? { ...femur, shape: femoralShape(boneOf(mesh), femur) } : tibiaOf(mesh)
  return { name, mesh, alone, judged: judgedLandmarks(mesh, alone).landmarks }
}

/** What is said of a landmark set by hand so far along one axis of its bone from where it was found. */
export interface Displaced {
  readonly bone: string
  readonly id: LandmarkId
  readonly axis: 'anterior' | 'proximal' | 'right'
  readonly mm: number
  readonly confidence: number
  readonly word: string
  readonly reason: string | null
  readonly sdMm: number
  /** Of the place where it was found. */
  readonly foundSdMm: number
}

export const displacements = [3, 5, 8, 12, 20] as const

/** Every landmark of a bone set by hand along its three axes, both ways. The other landmarks stay where they were found. */
export function displacedByHand(bone: ReadBone, distances: readonly number[] = displacements): readonly Displaced[] {
  const { x, y, z } = bone.alone.frame
  const ways = { anterior: x, proximal: y, right: z } as const
  return (Object.entries(bone.alone.landmarks) as [LandmarkId, Landmark][]).flatMap(([id, found]) =>
    distances.flatMap((mm) =>
      (Object.entries(ways) as ['anterior' | 'proximal' | 'right', Vec3][]).flatMap(([axis, way]) =>
        [mm, -mm].map((along) => {
          const mark = setByHand(bone, id, addScaled(found.mm, way, along))
          const { confidence, reason } = mark
          return {
            bone: bone.name,
            id,
            axis,
            mm: along,
            confidence,
            word: confidenceWord(confidence),
            reason,
            sdMm: mark.sdMm ?? 0,
            foundSdMm: bone.judged[id]?.sdMm ?? 0,
          }
        }),
      ),
    ),
  )
}

/** What is said of one landmark of a bone set by hand to a point (frame of the file, mm). */
export function setByHand({ mesh, alone }: ReadBone, id: LandmarkId, mm: Vec3): Landmark {
  const own: Landmark = {
    mm,
    confidence: 1,
    residualMm: null,
    sdMm: defaultSdMm[id].sdMm,
    source: 'set',
    reason: null,
  }
  return judgedLandmarks(mesh, { ...alone, landmarks: { ...alone.landmarks, [id]: own } }, alone).landmarks[id]!
}
