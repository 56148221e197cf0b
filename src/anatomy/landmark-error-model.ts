import type { LandmarkId } from './terms.ts'

/** What a landmark's expected error grows with, per direction: mm, and mm per mm. */
export interface ErrorTerms {
  readonly baseMm: number
  /** Mean edge of the triangles about it. */
  readonly perEdge: number
  /** RMS of the surface over a quadric beyond what its triangles' chords leave over; of the head over its sphere. */
  readonly perRoughness: number
  /** Noise of the whole bone's surface, SD. */
  readonly perNoise: number
  /** Distance from the extreme of the surface about it, beyond what `freeMm` allows. */
  readonly perDistance: number
  /** The middle of a cap or of a roof lies so far from the extreme of its neighbourhood without being wrong, mm. */
  readonly freeMm: number
}

const head: ErrorTerms = { baseMm: 0.05, perEdge: 0, perRoughness: 0.12, perNoise: 0.43, perDistance: 0, freeMm: 0 }
const notch: ErrorTerms = {
  baseMm: 0.05,
  perEdge: 0.08,
  perRoughness: 0,
  perNoise: 2.04,
  perDistance: 0.5,
  freeMm: 1.5,
}
const distalCondyle: ErrorTerms = {
  baseMm: 0.05,
  perEdge: 0.08,
  perRoughness: 0,
  perNoise: 2.15,
  perDistance: 0.5,
  freeMm: 2,
}
const posteriorCondyle: ErrorTerms = {
  baseMm: 0.05,
  perEdge: 0.08,
  perRoughness: 1.39,
  perNoise: 1.42,
  perDistance: 0.45,
  freeMm: 2,
}
const epicondyle: ErrorTerms = {
  baseMm: 0.05,
  perEdge: 0.08,
  perRoughness: 1.86,
  perNoise: 1.41,
  perDistance: 0.45,
  freeMm: 4,
}
const spines: ErrorTerms = { baseMm: 0.05, perEdge: 0.2, perRoughness: 0.28, perNoise: 1.36, perDistance: 0, freeMm: 0 }
const plateau: ErrorTerms = { baseMm: 0.05, perEdge: 0.08, perRoughness: 0, perNoise: 1.04, perDistance: 0, freeMm: 0 }
const posteriorNotch: ErrorTerms = {
  baseMm: 0.05,
  perEdge: 0.08,
  perRoughness: 0,
  perNoise: 1.36,
  perDistance: 0,
  freeMm: 0,
}
const tubercle: ErrorTerms = {
  baseMm: 0.05,
  perEdge: 0.08,
  perRoughness: 1.79,
  perNoise: 1.27,
  perDistance: 0.45,
  freeMm: 0,
}
const tubercleThird: ErrorTerms = {
  baseMm: 0.05,
  perEdge: 0.08,
  perRoughness: 2.47,
  perNoise: 1.54,
  perDistance: 0.45,
  freeMm: 0,
}
const malleolus: ErrorTerms = {
  baseMm: 0.05,
  perEdge: 0.08,
  perRoughness: 0.76,
  perNoise: 1.5,
  perDistance: 0.533,
  freeMm: 0,
}
const ankle: ErrorTerms = { baseMm: 0.05, perEdge: 0.08, perRoughness: 0.3, perNoise: 1.76, perDistance: 0, freeMm: 0 }

/**
 * Fitted to the errors of the finders on 400 degraded synthetic legs (forty shapes, seeds 201 to 240, ten states each: noise to 0.8 mm,
 * vertices merged within up to 8 mm): greatest likelihood of the squared errors, each exponentially distributed about twice its
 * expected square; not less than 0.08 of an edge and, at contact points, tips and saddle, 0.45 of the distance from the extreme. Spines
 * where both were found. Real bones have more to err by than models: their scatter is
 * added to this by its square.
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
  tubercleMedialThird: tubercleThird,
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
