import type { BoneName, FemurAnatomy, TibiaAnatomy } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { asItLies, type Registration, register } from '../geometry/register.ts'
import { mapMesh } from '../geometry/transform.ts'
import { type Achieved, achievedCuts } from './achieved.ts'
import type { Plan } from './planned.ts'

/** How the mesh after the cuts came to lie on the bone before them. */
export interface AchievedRegistration extends Omit<Registration, 'fixedFromMoving'> {
  /** `same-frame`: used as it lay; `registered`: laid on the uncut surface first. */
  readonly how: 'same-frame' | 'registered'
}

export interface AchievedOnBone extends Achieved {
  readonly bone: BoneName
  readonly registration: AchievedRegistration
}

/** As near as this over most of its surface, a mesh lies in the frame of the plan, mm and share. */
const sameFrameMm = 0.1
/**
 * Less of the surface in common than this is another bone or its mirror image (wrong bone about 0.3, mirrored about 0.6 at rms 0.3 to
 * 0.5 mm); a scan of the knee alone or with a component in it may have less in common, if that fits closely.
 */
const leastShare = 0.7
const leastShareFitting = 0.4
const fittingMm = 0.2
/** Worse than this over what is common, planes would not mean anything, mm. */
const worstRmsMm = 0.7

const fits = ({ share, rmsMm }: Registration): boolean =>
  rmsMm <= worstRmsMm && (share >= leastShare || (share >= leastShareFitting && rmsMm <= fittingMm))

/**
 * Planned against achieved on a mesh in whatever frame it comes (mm; a bone after the cuts, whole or the knee alone, with or
 * without its component): it is laid on the uncut surface first unless it lies there or `sameFrame` says it does. `fit/degenerate`
 * when too little of it is the planned bone's; else what `achievedCuts` says.
 */
export function achievedOnBone(
  plan: Plan,
  anatomy: { readonly femur: FemurAnatomy; readonly tibia: TibiaAnatomy },
  native: { readonly bone: BoneName; readonly before: BoneMesh },
  after: Mesh,
  sameFrame = false,
): Result<AchievedOnBone> {
  const { bone, before } = native
  const lies = asItLies(after, before.tree)
  const asIs = sameFrame || (lies.share >= leastShareFitting && lies.rmsMm <= sameFrameMm)
  const laid = asIs ? lies : register(after, before.tree)
  if (!fits(laid))
    return fail(
      'fit/degenerate',
      `This mesh cannot be laid on the ${bone}: ${Math.round(100 * laid.share)} % of its surface lies within 1 mm (rms ${laid.rmsMm.toFixed(2)} mm).`,
      {
        hint: asIs
          ? 'It was taken to lie in the frame of the plan; let it be laid on the bone instead.'
          : 'It must be the same bone, not mirrored, in the same unit, with some surface the saw has left.',
        place: bone,
      },
    )
  const achieved = achievedCuts(plan, anatomy, bone, asIs ? after : mapMesh(after, laid.fixedFromMoving))
  if (!achieved.ok) return achieved
  const { rmsMm, share, turnedDeg, movedMm } = laid
  return ok({
    ...achieved.value,
    bone,
    registration: { how: asIs ? 'same-frame' : 'registered', rmsMm, share, turnedDeg, movedMm },
  })
}
