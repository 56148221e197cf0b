import type { FemurAnatomy, LandmarkOverrides, TibiaAnatomy } from './terms.ts'

/**
 * The landmarks that still have to be given when a bone is found again without a hand, to hold what was set or entered against what
 * its surface alone shows: what files of their own gave, and a hip, ankle or malleolus that the bone's own file does not show. The same
 * object where that is all there is: then the surface alone says nothing else.
 */
export function keptAlone(bone: FemurAnatomy | TibiaAnatomy, overrides: LandmarkOverrides): LandmarkOverrides {
  const beyond: readonly string[] =
    'head' in bone
      ? bone.head
        ? []
        : ['hipCentre']
      : ['malleolusLateral', ...(bone.otherwise?.ankleShown ? [] : ['ankleCentre', 'malleolusMedial'])]
  const all = Object.entries(overrides)
  const kept = all.filter(([id, { from }]) => from !== undefined || beyond.includes(id))
  return kept.length === all.length ? overrides : Object.fromEntries(kept)
}
