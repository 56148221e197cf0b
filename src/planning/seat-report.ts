import type { Warning } from '../failure.ts'
import type { Plane } from '../geometry/plane.ts'
import type { ComponentFace } from './component-faces.ts'
import type { FemoralPlace, PlannedCut, Site } from './planned.ts'
import { departs, type FemoralCutId, femoralCutNames, isFemoral } from './terms.ts'

/** The numbers of a placed femoral component: its box's angles and the depth of both its planes at the medial sites. */
export function placeOf(
  { valgusDeg, flexionDeg, externalRotationDeg }: Omit<FemoralPlace, 'distalMm' | 'posteriorMm'>,
  sites: readonly Site[],
): FemoralPlace {
  const depthOf = (id: Site['id']) => sites.find((site) => site.id === id)?.distanceMm ?? null
  return {
    valgusDeg,
    flexionDeg,
    externalRotationDeg,
    distalMm: depthOf('femur-distal-medial'),
    posteriorMm: depthOf('femur-posterior-medial'),
  }
}

export const facePlanes = (faces: readonly ComponentFace[]): Readonly<Partial<Record<FemoralCutId, Plane>>> =>
  Object.fromEntries(faces.map(({ id, plane }) => [id, plane]))

/** More room or less than this between component and bone is said as a warning, mm (our rule, no source: below what is measured on a piece). */
const noticedMm = 0.05

/** What a departure from the component's box means for its seat: bone in its way, or room under it. */
export function seatWarnings(cuts: readonly PlannedCut[]): readonly Warning[] {
  return cuts.flatMap(({ id, departure, gapMm, interferenceMm }): Warning[] => {
    if (departure === null || !departs(departure)) return []
    const name = isFemoral(id) ? femoralCutNames[id] : id
    if (gapMm === null || interferenceMm === null)
      return [
        {
          code: 'plan/seat',
          message: `The ${name} cut departs from the component so far that no sawn bone lies under its face.`,
          spoils: [`cuts.${id}.gapMm`, `cuts.${id}.interferenceMm`],
        },
      ]
    const says: Warning[] = []
    if (interferenceMm > noticedMm)
      says.push({
        code: 'plan/seat',
        message: `At the ${name} cut bone stands ${interferenceMm.toFixed(1)} mm into the component, which cannot come to its place.`,
        spoils: [],
      })
    if (gapMm > noticedMm)
      says.push({
        code: 'plan/seat',
        message: `At the ${name} cut up to ${gapMm.toFixed(1)} mm of room stays between component and bone.`,
        spoils: [],
      })
    return says
  })
}
