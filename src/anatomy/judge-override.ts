import { type Away, awayFromFound } from './away-from-found.ts'
import type { Doubt } from './beyond-scan.ts'
import { chanceWithin } from './chance-within.ts'
import { sureFrom } from './confidence-word.ts'
import { expectedFor } from './expected-error.ts'
import { errorModel } from './landmark-error-model.ts'
import { implausible, type Seen } from './landmark-evidence.ts'
import { defaultSdMm } from './landmark-sd.ts'
import type { FemurAnatomy, Landmark, LandmarkId, Landmarks, TibiaAnatomy } from './terms.ts'

/**
 * A landmark set by hand or entered, with what speaks against its place: how far `away` it lies from where the surface alone shows it,
 * what the shown end of its bone says of one `beyond` the scan, its distance from the extreme of the surface about it (`seen`), off that surface, and from its partner. It keeps its place; a
 * doubted one scatters like a found one of the same confidence, and the worst of these is its reason. One read from a file of its own
 * has what that file said of it at least.
 */
export function judgedOverride(
  id: LandmarkId,
  mark: Landmark,
  bone: FemurAnatomy | TibiaAnatomy,
  seen: Seen | undefined,
  away: Away | null,
  beyond: readonly Doubt[] = [],
): Landmark {
  const how = mark.from ? 'Read from its own file' : mark.source === 'set' ? 'Set by hand' : 'Entered'
  const far = implausible(id, bone.landmarks)
  const doubts: readonly Doubt[] = [
    ...(mark.reason ? [{ confidence: mark.confidence, reason: mark.reason }] : []),
    ...(far ? [{ confidence: implausibleConfidence, reason: far }] : []),
    ...beyond,
    ...(mark.from ? [] : [...bySurface(id, seen, how, away), ...byFound(away, how)]),
  ]
  return doubted(id, mark, doubts)
}

/** A landmark found while others were set by hand: what stands on them moves with them, and is doubted as they are. */
export function movedFromFound(id: LandmarkId, mark: Landmark, foundAlone: Landmarks | null): Landmark {
  const away = foundAlone && awayFromFound(id, mark.mm, foundAlone)
  if (!away || away.confidence >= Math.min(mark.confidence, sureFrom)) return mark
  const reason = `Moved ${away.awayMm.toFixed(1)} mm, by what is set by hand, from where the surface alone shows it.`
  return doubted(id, mark, [{ confidence: away.confidence, reason }])
}

/** Confidence of what is implausible beside its partner. */
export const implausibleConfidence = 0.3

/** The landmark under the worst of its doubts; the same where there are none. */
function doubted(id: LandmarkId, mark: Landmark, doubts: readonly Doubt[]): Landmark {
  const worst = doubts.reduce<Doubt | null>((low, d) => (low === null || d.confidence < low.confidence ? d : low), null)
  if (worst === null || worst.confidence > mark.confidence) return mark
  if (worst.confidence >= sureFrom) return { ...mark, confidence: worst.confidence }
  const scatterMm = defaultSdMm[id].sdMm
  const sdMm = Math.hypot(scatterMm, expectedFor(worst.confidence, 2 * scatterMm))
  return { ...mark, ...worst, sdMm: Math.max(mark.sdMm ?? 0, sdMm) }
}

function bySurface(id: LandmarkId, seen: Seen | undefined, how: string, away: Away | null): readonly Doubt[] {
  // The lateral malleolus is the fibula's; a found ankle centre need not lie on the surface.
  if (seen === undefined || id === 'malleolusLateral' || (id === 'ankleCentre' && away)) return []
  const { baseMm, perDistance, freeMm } = errorModel[id]
  const { sdMm } = defaultSdMm[id]
  // The place found lies on the surface: neither that nor its extreme is farther off than the place, whatever a quadric foretells.
  const toFoundMm = away?.awayMm ?? Number.POSITIVE_INFINITY
  const doubt = (mm: number, expectedMm: (mm: number) => number, where: string): Doubt => {
    const nearest = Math.min(mm, toFoundMm)
    return {
      confidence: chanceWithin(2 * sdMm, Math.hypot(baseMm, Math.max(0, expectedMm(nearest)))),
      reason: `${how}, ${nearest.toFixed(1)} mm ${mm > toFoundMm ? fromFound : where}.`,
    }
  }
  return [
    doubt(seen.offMm, (mm) => mm - sdMm / 2, 'off the surface'),
    doubt(seen.disagreementMm ?? 0, (mm) => perDistance * (mm - freeMm), 'from the extreme of the surface about it'),
  ]
}

const fromFound = 'from where the surface shows it'

const byFound = (away: Away | null, how: string): readonly Doubt[] =>
  away === null
    ? []
    : [
        {
          confidence: away.confidence,
          reason: away.by
            ? `${how} ${away.by}, ${away.awayMm.toFixed(1)} mm from where the definition in use puts it.`
            : `${how}, ${away.awayMm.toFixed(1)} mm ${fromFound}.`,
        },
      ]
