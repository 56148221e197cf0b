import type { FemurAnatomy, TibiaAnatomy } from '../../anatomy/terms.ts'
import type { Findings, StanceFindings } from '../../findings.ts'
import { compose, identityRigid, intoFrame, inverse, type Rigid } from '../../geometry/rigid.ts'

/** Where each bone's patient frame stands in the scene (Y proximal or up, X anterior, Z to the subject's right). */
export interface Placement {
  readonly sceneFromFemur: Rigid
  readonly sceneFromTibia: Rigid
  /** `stance`: the floor is y = 0. `tibia`: the tibia's own frame. `file`: as in the file, nothing is known yet. */
  readonly frame: 'stance' | 'tibia' | 'femur' | 'file'
}

interface PlacementInput {
  readonly findings: Findings | null
  readonly femur: FemurAnatomy | null
  readonly tibia: TibiaAnatomy | null
  /** Given on the stages where the leg stands. */
  readonly standing: StanceFindings | undefined
}

/**
 * Standing where a stance is asked for; else the tibia in its own frame with the femur beside it: as in the files when
 * they share a pose, as the leg stands when they do not.
 */
export function placeBones({ findings, femur, tibia, standing }: PlacementInput): Placement {
  if (standing) {
    return { sceneFromFemur: standing.stanceFromFemur, sceneFromTibia: standing.stanceFromTibia, frame: 'stance' }
  }
  if (tibia) {
    const sceneFromTibia = intoFrame(tibia.frame)
    return { sceneFromFemur: besideTibia(findings, femur, sceneFromTibia), sceneFromTibia, frame: 'tibia' }
  }
  if (femur) return { sceneFromFemur: intoFrame(femur.frame), sceneFromTibia: identityRigid, frame: 'femur' }
  return { sceneFromFemur: identityRigid, sceneFromTibia: identityRigid, frame: 'file' }
}

function besideTibia(findings: Findings | null, femur: FemurAnatomy | null, sceneFromTibia: Rigid): Rigid {
  if (findings?.angles.kneePose) return sceneFromTibia
  const stance = findings?.stance[0]
  if (stance) return compose(sceneFromTibia, compose(inverse(stance.stanceFromTibia), stance.stanceFromFemur))
  if (!femur) return sceneFromTibia
  // Nothing relates the two yet: knee centre over knee centre, a hand's breadth apart, each in its own frame.
  const own = intoFrame(femur.frame)
  return { ...own, translation: [own.translation[0], own.translation[1] + 30, own.translation[2]] }
}
