import type { BoneName } from '../anatomy/terms.ts'
import type { Warning } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { isOnMissing } from '../geometry/bounded-bone.ts'
import type { PlannedCut, Site } from './planned.ts'

/** What one bone loses to its cuts, mm³, and how far that may be from the truth; null where one of them is withheld. */
export function removedFrom(cuts: readonly PlannedCut[], bone: BoneName) {
  const sum = (of: (cut: PlannedCut) => number | null) =>
    cuts
      .filter((cut) => cut.bone === bone)
      .reduce<number | null>((total, cut) => {
        const value = of(cut)
        return total === null || value === null ? null : total + value
      }, 0)
  return { removedMm3: sum((cut) => cut.removedMm3), boundMm3: sum((cut) => cut.removedBoundMm3) }
}

/** What open surfaces mean for the plan's volumes: a bound beside them, or that they are withheld. */
export function openBoneWarnings(
  bones: Readonly<Record<BoneName, BoneMesh>>,
  cuts: readonly PlannedCut[],
  sites: readonly Site[],
): readonly Warning[] {
  return (['femur', 'tibia'] as const).flatMap((name): Warning[] => {
    const bone = bones[name]
    if (bone.closed) return []
    if (bone.missing !== null)
      return [
        {
          code: 'mesh/open-bounded',
          message: `The ${name} is not a closed surface: patches stand in for what is missing, triangles given twice and fins are left out, and its volumes carry a bound (±), the convex hulls of the open borders and fins on the removed side.`,
          spoils: [],
        },
        ...patchedSites(name, bone, sites),
      ]
    const ofCuts = cuts
      .filter((cut) => cut.bone === name)
      .flatMap(({ id }) => volumesOfCut.map((key) => `cuts.${id}.${key}`))
    return [
      {
        code: 'mesh/open',
        message: `The ${name} is open and its faces give it no inside: its volumes are withheld. Repair the surface.`,
        spoils: [`volumes.${name}RemovedMm3`, `volumes.${name}RemovedBoundMm3`, ...ofCuts],
      },
    ]
  })
}

/** A thickness read off a patch is none of the bone's. */
function patchedSites(name: BoneName, bone: BoneMesh, sites: readonly Site[]): Warning[] {
  const patched = sites.filter(({ id, point }) => id.startsWith(name) && isOnMissing(bone, point))
  if (patched.length === 0) return []
  const ids = patched.map(({ id }) => id)
  return [
    {
      code: 'mesh/site-on-patch',
      message: `The surface of the ${name} is missing at ${ids.join(', ')}: the thickness there is read off a stand-in patch.`,
      spoils: ids.map((id) => `sites.${id}`),
    },
  ]
}

const volumesOfCut = ['removedMm3', 'removedBoundMm3', 'kerfMm3', 'pieceMm3', 'meanMm'] as const
