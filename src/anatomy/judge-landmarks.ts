import type { Mesh } from '../geometry/mesh.ts'
import { awayFromCentre } from './away-from-found.ts'
import { chanceWithin } from './chance-within.ts'
import { doubtfulBelow } from './error-sources.ts'
import { type ErrorTerms, errorModel, roughnessBeyondChords } from './landmark-error-model.ts'
import { headEvidence, implausible, type Seen, surfaceEvidence } from './landmark-evidence.ts'
import { defaultSdMm } from './landmark-sd.ts'
import type { FemurAnatomy, Landmark, LandmarkEvidence, LandmarkId, TibiaAnatomy } from './terms.ts'

/**
 * The bone with every found landmark's confidence, scatter and reason made from what the surface (patient frame, mm) says there. The
 * expected error per direction is √(a² + (b·edge)² + (c·roughness)² + (d·drift)² + (e·distance from the extreme)²), with numbers
 * per landmark from synthetic legs of known truth (`tests/anatomy/confidence.check.ts`). Confidence is the chance that the landmark
 * lies within twice its assumed scatter: 1 − exp(−2 · (scatter / expected error)²). The SD in use adds both by their squares. What the
 * finder itself doubts, and a landmark too near to or far from its partner, is never more than doubtful. A landmark set by hand keeps
 * its place and scatter, but is doubted where it lies away from the extreme it is named for, off the surface, or from where it is found; given ones stay as
 * they are.
 */
export function judgedLandmarks<T extends FemurAnatomy | TibiaAnatomy>(mesh: Mesh, bone: T): T {
  const seen = surfaceEvidence(mesh, bone)
  const head = 'head' in bone && bone.head ? headEvidence(mesh, bone.head, bone.noiseMm ?? null) : null
  const landmarks = Object.fromEntries(
    (Object.entries(bone.landmarks) as [LandmarkId, Landmark][]).map(([id, mark]) => [
      id,
      mark.source === 'found'
        ? judged(id, mark, bone, { seen, head })
        : mark.source === 'set'
          ? doubted(id, mark, bone, seen)
          : mark,
    ]),
  )
  return { ...bone, landmarks }
}

/** From this on it is sure. */
export const sureFrom = 0.75

/** A confidence in a word. */
export const confidenceWord = (confidence: number): 'sure' | 'fair' | 'doubtful' =>
  confidence >= sureFrom ? 'sure' : confidence >= doubtfulBelow ? 'fair' : 'doubtful'

function judged(
  id: LandmarkId,
  mark: Landmark,
  bone: FemurAnatomy | TibiaAnatomy,
  {
    seen,
    head,
  }: { readonly seen: Readonly<Partial<Record<LandmarkId, Seen>>>; readonly head: LandmarkEvidence | null },
): Landmark {
  const own = seen[standsFor[id] ?? id]
  const edge = own?.edgeMm ?? null
  const rough = own?.fitRmsMm == null ? null : roughnessBeyondChords(own.fitRmsMm, edge ?? 0)
  const roughness = 'head' in bone && id === 'hipCentre' ? (bone.head?.rmsMm ?? null) : rough
  const terms = termsOf(errorModel[id], {
    edgeMm: edge,
    roughnessMm: roughness,
    driftMm: own?.driftMm ?? null,
    fromExtremeMm: own?.disagreementMm ?? null,
  })
  const known = own !== undefined || id === 'hipCentre'
  const expectedMm = known ? Math.min(mostMm, Math.sqrt(terms.reduce((sum, { mm }) => sum + mm * mm, 0))) : mostMm
  const scatterMm = defaultSdMm[id].sdMm
  const chance = chanceWithin(2 * scatterMm, expectedMm)
  const doubts = mark.reason !== null && mark.confidence < sureFrom
  const far = implausible(id, bone.landmarks)
  const confidence = Math.min(chance, doubts ? mark.confidence : 1, far ? 0.3 : 1)
  const because = far ?? mark.reason ?? (confidence < sureFrom ? (known ? reasonOf(terms) : noSurface) : null)
  const ofHead = id === 'hipCentre' ? (head ?? undefined) : undefined
  const evidence: LandmarkEvidence | undefined = own
    ? {
        fitRmsMm: own.fitRmsMm,
        sharpnessPerMm: own.sharpnessPerMm,
        disagreementMm: own.disagreementMm,
        edgeMm: own.edgeMm,
        noiseMm: own.noiseMm,
      }
    : ofHead
  // A doubt of the finder's has no millimetres; it scatters like a landmark of the same confidence.
  const doubtedMm = confidence < chance ? expectedFor(confidence, 2 * scatterMm) : expectedMm
  return {
    ...mark,
    confidence,
    sdMm: Math.hypot(scatterMm, doubtedMm),
    reason: because,
    ...(evidence ? { evidence } : {}),
  }
}

/** A landmark set by hand, with what speaks against its place. */
function doubted(
  id: LandmarkId,
  mark: Landmark,
  bone: FemurAnatomy | TibiaAnatomy,
  seen: Readonly<Partial<Record<LandmarkId, Seen>>>,
): Landmark {
  const own = seen[id]
  const far = implausible(id, bone.landmarks)
  const awayMm = errorModel[id].perDistance * Math.max(0, (own?.disagreementMm ?? 0) - errorModel[id].freeMm)
  const offMm = own?.offMm ?? 0
  const chance = chanceWithin(2 * defaultSdMm[id].sdMm, Math.hypot(errorModel[id].baseMm, awayMm, offMm))
  const centre = awayFromCentre(id, mark.mm, bone.landmarks)
  const confidence = Math.min(chance, far ? 0.3 : 1, centre?.confidence ?? 1, mark.confidence)
  if (confidence >= sureFrom) return { ...mark, confidence }
  const away =
    offMm > awayMm
      ? `Set by hand, ${offMm.toFixed(1)} mm off the surface.`
      : `Set by hand, ${(own?.disagreementMm ?? 0).toFixed(1)} mm from the extreme of the surface about it.`
  const elsewhere = mark.confidence < chance ? mark.reason : centre && centre.confidence < chance ? centre.reason : null
  return { ...mark, confidence, reason: far ?? elsewhere ?? away }
}

const expectedFor = (chance: number, mm: number): number =>
  Math.min(mostMm, mm / Math.sqrt(-2 * Math.log(1 - Math.min(0.999, Math.max(0.01, chance)))))

/** Centres that lie off the surface are judged by what they are made of. */
const standsFor: Readonly<Partial<Record<LandmarkId, LandmarkId>>> = {
  femoralKneeCentre: 'notchCentre',
  spinesCentre: 'plateauMedial',
  tibialKneeCentre: 'plateauMedial',
}

/** What is expected where there is no surface to look at, and at most: what lies farther off, a finder refuses; mm. */
const mostMm = 8
const noSurface = 'There is too little surface about it to judge by.'

interface Quantities {
  readonly edgeMm: number | null
  readonly roughnessMm: number | null
  readonly driftMm: number | null
  readonly fromExtremeMm: number | null
}

interface Term {
  readonly mm: number
  readonly reason: string
}

function termsOf(model: ErrorTerms, { edgeMm, roughnessMm, driftMm, fromExtremeMm }: Quantities): readonly Term[] {
  const term = (factor: number, value: number | null, reason: (value: number) => string): Term => ({
    mm: factor * (value ?? 0),
    reason: reason(value ?? 0),
  })
  return [
    { mm: model.baseMm, reason: 'This landmark is broad by nature.' },
    term(model.perEdge, edgeMm, (mm) => `The triangles about it are coarse (${mm.toFixed(1)} mm).`),
    term(model.perRoughness, roughnessMm, (mm) => `The surface about it is rough (${mm.toFixed(1)} mm off smooth).`),
    term(model.perDrift, driftMm, () => 'The place is flat and rough: noise alone moves its highest point.'),
    {
      mm: model.perDistance * Math.max(0, (fromExtremeMm ?? 0) - model.freeMm),
      reason: `It lies ${(fromExtremeMm ?? 0).toFixed(1)} mm from the extreme of the surface about it.`,
    },
  ]
}

const reasonOf = (terms: readonly Term[]): string =>
  terms.reduce((worst, term) => (term.mm > worst.mm ? term : worst)).reason
