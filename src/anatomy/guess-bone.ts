import type { BoneMesh } from '../geometry/bone.ts'
import { calmBone } from './calm-surface.ts'
import { sideOfLimb } from './limb.ts'
import { recogniseBone } from './recognise-bone.ts'
import { recogniseCompanion } from './recognise-companion.ts'
import { hidesSide, recognisePart } from './recognise-part.ts'
import type { BoneName, CompanionName, Side } from './terms.ts'

export interface BoneGuess {
  readonly bone: BoneName | 'unknown'
  readonly side: Side | 'unknown'
  /** Set where it shows no knee, but another part that carries a joint centre; `bone` is unknown then. */
  readonly companion: CompanionName | null
  /** 0…1. */
  readonly confidence: number
}

/**
 * Which bone (whole, or its knee end) and side a surface shows, from shape alone, or else which part of a leg that carries a joint
 * centre; a mirrored export cannot be told. A short part that hides its side has none.
 */
export function guessBone(surface: BoneMesh): BoneGuess {
  const { bone } = calmBone(surface)
  const seen = recogniseBone(bone, surface)
  if (seen.bone === 'unknown') {
    const companion = recogniseCompanion(bone, surface)
    const part = companion || seen.kneeless ? null : recognisePart(bone, surface)
    if (part === null)
      return {
        bone: 'unknown',
        side: 'unknown',
        companion: companion?.part ?? null,
        confidence: companion?.confidence ?? 0,
      }
    return {
      bone: part.bone,
      side: hidesSide(part) ? 'unknown' : sideOfLimb(part.limb),
      companion: null,
      confidence: Math.min(0.8, 0.3 + part.sideVotes / 2),
    }
  }
  return {
    bone: seen.bone,
    side: sideOfLimb(seen.limb),
    companion: null,
    confidence: seen.bone === 'femur' ? Math.min(1, seen.head.coverage / 0.5) : 0.8,
  }
}
