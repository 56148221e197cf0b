import type { LandmarkId } from './terms.ts'

/** What a landmark's expected error grows with, per direction: mm, and mm per mm. */
export interface ErrorTerms {
  readonly baseMm: number
  /** Mean edge of the triangles about it. */
  readonly perEdge: number
  /** RMS of the surface over a quadric beyond what its triangles' chords leave over; of the head over its sphere. */
  readonly perRoughness: number
  /** How far noise alone would carry the extreme. */
  readonly perDrift: number
  /** Distance from the extreme of the surface about it, beyond what `freeMm` allows. */
  readonly perDistance: number
  /** The middle of a cap or of a roof lies so far from the extreme of its neighbourhood without being wrong, mm. */
  readonly freeMm: number
}

const head: ErrorTerms = { baseMm: 0.05, perEdge: 0, perRoughness: 0.422, perDrift: 0, perDistance: 0, freeMm: 0 }
const notch: ErrorTerms = {
  baseMm: 0.572,
  perEdge: 0.08,
  perRoughness: 0,
  perDrift: 1.4,
  perDistance: 0.601,
  freeMm: 1.5,
}
const distalCondyle: ErrorTerms = {
  baseMm: 0.389,
  perEdge: 0.08,
  perRoughness: 2.3,
  perDrift: 0,
  perDistance: 0.499,
  freeMm: 2,
}
const posteriorCondyle: ErrorTerms = {
  baseMm: 0.178,
  perEdge: 0.08,
  perRoughness: 2,
  perDrift: 0,
  perDistance: 0.445,
  freeMm: 2,
}
const epicondyle: ErrorTerms = {
  baseMm: 0.11,
  perEdge: 0.08,
  perRoughness: 2.2,
  perDrift: 0,
  perDistance: 0.46,
  freeMm: 4,
}
const spines: ErrorTerms = { baseMm: 0.05, perEdge: 0.42, perRoughness: 0.487, perDrift: 0, perDistance: 0, freeMm: 0 }
const plateau: ErrorTerms = {
  baseMm: 0.05,
  perEdge: 0.0869,
  perRoughness: 1.18,
  perDrift: 0,
  perDistance: 0,
  freeMm: 0,
}
const posteriorNotch: ErrorTerms = {
  baseMm: 0.346,
  perEdge: 0.08,
  perRoughness: 0,
  perDrift: 0,
  perDistance: 0,
  freeMm: 0,
}
const tubercle: ErrorTerms = {
  baseMm: 0.05,
  perEdge: 0.08,
  perRoughness: 3.23,
  perDrift: 0,
  perDistance: 0.279,
  freeMm: 0,
}
const malleolus: ErrorTerms = {
  baseMm: 0.169,
  perEdge: 0.08,
  perRoughness: 0,
  perDrift: 2.6,
  perDistance: 0.61,
  freeMm: 0,
}
const ankle: ErrorTerms = { baseMm: 0.661, perEdge: 0.08, perRoughness: 0.312, perDrift: 0, perDistance: 0, freeMm: 0 }

/**
 * Fitted to the errors of the finders on 112 degraded synthetic legs (twelve shapes, seeds 1 to 6 and 11 to 16, up to ten states each: noise to 0.8 mm, vertices merged
 * within up to 8 mm; non-negative least squares on the squared errors, not less than 0.08 of an edge and, at contact points, tips and saddle, 0.4 of the distance from the extreme; what the middle of a cap may lie
 * off its extreme was set free since). Real bones have more to err
 * by than models: their scatter is added to this by its square.
 */
export const errorModel: Readonly<Record<LandmarkId, ErrorTerms>> = {
  hipCentre: head,
  femoralKneeCentre: notch,
  condyleDistalMedial: distalCondyle,
  condyleDistalLateral: distalCondyle,
  condylePosteriorMedial: posteriorCondyle,
  condylePosteriorLateral: posteriorCondyle,
  epicondyleMedial: epicondyle,
  epicondyleLateral: epicondyle,
  notchCentre: notch,
  tibialKneeCentre: spines,
  plateauMedial: plateau,
  plateauLateral: plateau,
  spinesCentre: spines,
  posteriorNotch: posteriorNotch,
  tubercle: tubercle,
  tubercleMedialThird: tubercle,
  malleolusMedial: malleolus,
  malleolusLateral: malleolus,
  ankleCentre: ankle,
}

/** What chords leave over on long triangles, mm of RMS per mm² of edge (measured on demo legs, edges 4…8 mm). */
const chordPerMm = 0.022
/** A surface that fits a quadric worse than this is bent, not rough, mm. */
const mostRoughMm = 1

/** How rough a surface is by its RMS over a quadric, mm: less what long triangles leave over by themselves. */
export const roughnessBeyondChords = (rmsMm: number, edgeMm: number): number =>
  Math.min(mostRoughMm, Math.sqrt(Math.max(0, rmsMm ** 2 - (chordPerMm * edgeMm ** 2) ** 2)))
