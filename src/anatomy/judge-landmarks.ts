import type { Mesh } from '../geometry/mesh.ts'
import { awayFromFound, type OtherPlace } from './away-from-found.ts'
import { beyondScan } from './beyond-scan.ts'
import { chanceWithin } from './chance-within.ts'
import { sureFrom } from './confidence-word.ts'
import { expectedFor, mostExpectedMm } from './expected-error.ts'
import { judgedOverride, movedFromFound } from './judge-override.ts'
import { type ErrorTerms, errorModel, roughnessBeyondChords } from './landmark-error-model.ts'
import { headEvidence, implausible, onSpike, type Seen, surfaceEvidence } from './landmark-evidence.ts'
import { defaultSdMm } from './landmark-sd.ts'
import type { FemurAnatomy, Landmark, LandmarkEvidence, LandmarkId, TibiaAnatomy } from './terms.ts'

/**
 * The bone with every found landmark's confidence, scatter and reason made from what the surface (patient frame, mm) says there. The
 * expected error per direction is √(a² + (b·edge)² + (c·roughness)² + (d·noise)² + (e·distance from the extreme)²), with numbers
 * per landmark from synthetic legs of known truth (`tests/anatomy/confidence.check.ts`). Confidence is the chance that the landmark
 * lies within twice its assumed scatter: 1 − exp(−2 · (scatter / expected error)²). The SD in use adds both by their squares. What the
 * finder itself doubts, and a landmark too near to or far from its partner or on a spike, is never more than doubtful. A landmark set by hand or entered
 * keeps its place and is judged by `judgedOverride`. `alone` is the same bone found without what was set or entered; its own judged
 * landmarks then go along as `foundAlone`. Without it only the surface about the place and the partner speak against a hand.
 */
export function judgedLandmarks<T extends FemurAnatomy | TibiaAnatomy>(mesh: Mesh, bone: T, alone: T | null = null): T {
  const seen = surfaceEvidence(mesh, bone)
  const head = 'head' in bone && bone.head ? headEvidence(mesh, bone.head, bone.noiseMm ?? null) : null
  const foundAlone = alone ? judgedLandmarks(mesh, alone).landmarks : null
  const landmarks = Object.fromEntries(
    (Object.entries(bone.landmarks) as [LandmarkId, Landmark][]).map(([id, mark]) => [
      id,
      mark.source === 'found'
        ? movedFromFound(id, judged(id, mark, bone, { seen, head }), foundAlone)
        : judgedOverride(
            id,
            mark,
            bone,
            seen[id],
            foundAlone && awayFromFound(id, mark.mm, foundAlone, otherPlace(id, alone)),
            shows(id, bone) ? [] : beyondScan(id, mark, mesh, bone),
          ),
    ]),
  )
  return { ...bone, landmarks, ...(foundAlone ? { foundAlone } : {}) }
}

/** Whether a bone's own file shows the end where a joint centre lies. */
const shows = (id: LandmarkId, bone: FemurAnatomy | TibiaAnatomy): boolean =>
  'head' in bone
    ? id !== 'hipCentre' || bone.head !== null
    : id !== 'ankleCentre' || (bone.otherwise?.ankleShown ?? false)

/** Where the surface alone shows a landmark by its other definition, where that is no middle of two landmarks; patient frame. */
function otherPlace(id: LandmarkId, alone: FemurAnatomy | TibiaAnatomy | null): OtherPlace | null {
  const sulcus = alone && id === 'epicondyleMedial' && 'shape' in alone ? alone.shape?.sulcus : null
  if (sulcus) return { mm: sulcus.mm, by: 'in the sulcus' }
  const plafond = alone && id === 'ankleCentre' && 'otherwise' in alone ? alone.otherwise?.plafond : null
  return plafond ? { mm: plafond, by: 'on the plafond' } : null
}

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
    noiseMm: bone.noiseMm ?? null,
    fromExtremeMm: own?.disagreementMm ?? null,
  })
  const known = own !== undefined || id === 'hipCentre'
  const expectedMm = known
    ? Math.min(mostExpectedMm, Math.sqrt(terms.reduce((sum, { mm }) => sum + mm * mm, 0)))
    : mostExpectedMm
  const scatterMm = defaultSdMm[id].sdMm
  const chance = chanceWithin(2 * scatterMm, expectedMm)
  const doubts = mark.reason !== null && mark.confidence < sureFrom
  const unlikely = implausible(id, bone.landmarks) ?? onSpike(id, own)
  const confidence = Math.min(chance, doubts ? mark.confidence : 1, unlikely ? 0.3 : 1)
  const because = unlikely ?? mark.reason ?? (confidence < sureFrom ? (known ? reasonOf(terms) : noSurface) : null)
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

/** Centres that lie off the surface, and a third of a crest, are judged by what they are made of. */
const standsFor: Readonly<Partial<Record<LandmarkId, LandmarkId>>> = {
  femoralKneeCentre: 'notchCentre',
  spinesCentre: 'plateauMedial',
  tibialKneeCentre: 'plateauMedial',
  tubercleMedialThird: 'tubercle',
}

const noSurface = 'There is too little surface about it to judge by.'

interface Quantities {
  readonly edgeMm: number | null
  readonly roughnessMm: number | null
  readonly noiseMm: number | null
  readonly fromExtremeMm: number | null
}

interface Term {
  readonly mm: number
  readonly reason: string
}

function termsOf(model: ErrorTerms, { edgeMm, roughnessMm, noiseMm, fromExtremeMm }: Quantities): readonly Term[] {
  const term = (factor: number, value: number | null, reason: (value: number) => string): Term => ({
    mm: factor * (value ?? 0),
    reason: reason(value ?? 0),
  })
  return [
    { mm: model.baseMm, reason: 'This landmark is broad by nature.' },
    term(model.perEdge, edgeMm, (mm) => `The triangles about it are coarse (${mm.toFixed(1)} mm).`),
    term(model.perRoughness, roughnessMm, (mm) => `The surface about it is rough (${mm.toFixed(1)} mm off smooth).`),
    term(model.perNoise, noiseMm, (mm) => `The surface of the whole bone is rough (noise of ${mm.toFixed(1)} mm).`),
    {
      mm: model.perDistance * Math.max(0, (fromExtremeMm ?? 0) - model.freeMm),
      reason: `It lies ${(fromExtremeMm ?? 0).toFixed(1)} mm from the extreme of the surface about it.`,
    },
  ]
}

const reasonOf = (terms: readonly Term[]): string =>
  terms.reduce((worst, term) => (term.mm > worst.mm ? term : worst)).reason
