import type { BoneName, FemurAnatomy, TibiaAnatomy } from '../../anatomy/terms.ts'
import type { Findings, StanceFindings } from '../../findings.ts'
import { compose, identityRigid, intoFrame, inverse, type Rigid } from '../../geometry/rigid.ts'

/** Where each bone's patient frame stands in the scene (Y proximal or up, X anterior, Z to the subject's right). */
export interface Placement {
  readonly sceneFromFemur: Rigid
  readonly sceneFromTibia: Rigid
  /** `stance`: the floor is y = 0. `tibia`: the tibia's own frame. `file`: as in the file, nothing is known yet. */
  readonly frame: 'stance' | 'tibia' | 'femur' | 'file'
}

/** Where a bone's patient frame stands. */
export const sceneFrom = (placement: Placement, bone: BoneName): Rigid =>
  bone === 'femur' ? placement.sceneFromFemur : placement.sceneFromTibia

interface PlacementInput {
  /** The other bone's place beside this one where nothing stands: see `lyingBeside`. */
  readonly beside: Beside
  readonly femur: FemurAnatomy | null
  readonly tibia: TibiaAnatomy | null
  /** Given on the stages where the leg stands. */
  readonly standing: StanceFindings | undefined
}

/**
 * Standing where a stance is asked for; else the tibia in its own frame with the femur beside it: as in the files when
 * they share a pose, as the leg stands when they do not.
 */
export function placeBones({ beside, femur, tibia, standing }: PlacementInput): Placement {
  if (standing) {
    return { sceneFromFemur: standing.stanceFromFemur, sceneFromTibia: standing.stanceFromTibia, frame: 'stance' }
  }
  if (tibia) {
    const sceneFromTibia = intoFrame(tibia.frame)
    return { sceneFromFemur: besideTibia(beside, femur, sceneFromTibia), sceneFromTibia, frame: 'tibia' }
  }
  if (femur) return { sceneFromFemur: intoFrame(femur.frame), sceneFromTibia: identityRigid, frame: 'femur' }
  return { sceneFromFemur: identityRigid, sceneFromTibia: identityRigid, frame: 'file' }
}

/** As in the files where they share a pose, as the leg stands where they do not; null while nothing relates the two. */
export type Beside = 'as in the files' | StanceFindings | null

export function lyingBeside(findings: Findings | null): Beside {
  if (findings?.angles.kneePose) return 'as in the files'
  return findings?.stance[0] ?? null
}

function besideTibia(beside: Beside, femur: FemurAnatomy | null, sceneFromTibia: Rigid): Rigid {
  if (beside === 'as in the files') return sceneFromTibia
  if (beside) return compose(sceneFromTibia, compose(inverse(beside.stanceFromTibia), beside.stanceFromFemur))
  if (!femur) return sceneFromTibia
  // Nothing relates the two yet: knee centre over knee centre, a hand's breadth apart, each in its own frame.
  const own = intoFrame(femur.frame)
  return { ...own, translation: [own.translation[0], own.translation[1] + 30, own.translation[2]] }
}
