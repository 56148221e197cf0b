import type { FemurAnatomy, Landmark, LandmarkId, TibiaAnatomy } from './terms.ts'

/** SDs from the middle to either end of a 95 % interval of a normal number. */
export const sdsIn95 = 1.959964

/** What a case says of how sure its landmarks and surfaces are; null: as the table of this file. */
export interface UncertaintyChoices {
  /** Half the 95 % band of the meshed surface about the true one, mm. */
  readonly meshAccuracyMm: number
  /** 1 SD of each landmark, mm. */
  readonly sdMm: Readonly<Record<LandmarkId, number | null>>
}

/** Half the 95 % band of a meshed surface unless entered, mm (check values §12; common practice, no source). */
export const defaultMeshAccuracyMm = 0.5

interface AssumedSd {
  /** 1 SD along each direction in which the landmark can err, mm. */
  readonly sdMm: number
  /** What scatters, and along what. */
  readonly where: string
}

/** Where every SD of the table is from. */
export const sdBasis = 'common practice, no source'

const practice = (sdMm: number, where: string): AssumedSd => ({ sdMm, where })

/**
 * How far each landmark scatters when it is found or placed again, unless the case says otherwise. Points of the surface
 * scatter along it; off it they err as the surface does.
 */
export const defaultSdMm: Readonly<Record<LandmarkId, AssumedSd>> = {
  hipCentre: practice(1, 'centre of a sphere over the head, in every direction'),
  femoralKneeCentre: practice(1.5, 'saddle of the notch, in every direction'),
  condyleDistalMedial: practice(0.7, 'contact point, along the condyle'),
  condyleDistalLateral: practice(0.7, 'contact point, along the condyle'),
  condylePosteriorMedial: practice(0.7, 'contact point, along the condyle'),
  condylePosteriorLateral: practice(0.7, 'contact point, along the condyle'),
  epicondyleMedial: practice(2.5, 'prominence or sulcus of a broad ridge, along it'),
  epicondyleLateral: practice(2, 'prominence, along the surface'),
  notchCentre: practice(1.5, 'saddle of the notch, in every direction'),
  tibialKneeCentre: practice(1.5, 'middle of the spines, in every direction'),
  plateauMedial: practice(1, 'middle of the loaded patch, along it'),
  plateauLateral: practice(1, 'middle of the loaded patch, along it'),
  spinesCentre: practice(1.5, 'middle of the spines, in every direction'),
  posteriorNotch: practice(2, 'back of the section below the plateaus, in every direction'),
  tubercle: practice(2, 'front of a broad crest, in every direction'),
  tubercleMedialThird: practice(2, 'a third of a broad crest, in every direction'),
  malleolusMedial: practice(1.5, 'tip, along the surface'),
  malleolusLateral: practice(1.5, 'tip, along the surface'),
  ankleCentre: practice(1.5, 'middle of the plafond, along it'),
}

/** Nothing entered: every landmark as the table says. */
export const noSdEntered: UncertaintyChoices['sdMm'] = {
  hipCentre: null,
  femoralKneeCentre: null,
  condyleDistalMedial: null,
  condyleDistalLateral: null,
  condylePosteriorMedial: null,
  condylePosteriorLateral: null,
  epicondyleMedial: null,
  epicondyleLateral: null,
  notchCentre: null,
  tibialKneeCentre: null,
  plateauMedial: null,
  plateauLateral: null,
  spinesCentre: null,
  posteriorNotch: null,
  tubercle: null,
  tubercleMedialThird: null,
  malleolusMedial: null,
  malleolusLateral: null,
  ankleCentre: null,
}

/** The bone with the SDs that were entered in place of the table's; the same object where none was. */
export function withEnteredSd<T extends FemurAnatomy | TibiaAnatomy>(bone: T, entered: UncertaintyChoices['sdMm']): T {
  const own = Object.entries(bone.landmarks) as [LandmarkId, Landmark][]
  if (own.every(([id]) => entered[id] === null)) return bone
  return {
    ...bone,
    landmarks: Object.fromEntries(own.map(([id, mark]) => [id, { ...mark, sdMm: entered[id] ?? mark.sdMm }])),
  }
}
