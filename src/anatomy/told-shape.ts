import { distance } from '../geometry/vec.ts'
import { flatDomePerMm } from './epicondyles.ts'
import type { EpicondylarSulcus, FemoralShape, FemurAnatomy, Landmark, TrochlearGroove } from './terms.ts'

/** A femur's shape as the findings tell it. */
export interface ToldShape {
  readonly trochlearGroove: (TrochlearGroove & { readonly against: 'mechanical axis' | 'shaft axis' }) | null
  readonly femoralBow: FemoralShape['bow']
  readonly medialSulcus: (EpicondylarSulcus & { readonly fromProminenceMm: number }) | null
  /** Whether the highest point of a prominence is told only roughly; null where it was set by hand. */
  readonly epicondyles: { readonly medialFlatDome: boolean | null; readonly lateralFlatDome: boolean | null }
}

/** What the shape of a femur says beyond its landmarks, with what it is told against; patient frame, mm, degrees. */
export function toldShape({ shape, landmarks, truncated, epicondyleCaps: caps }: FemurAnatomy): ToldShape {
  const { groove = null, bow = null, sulcus = null } = shape ?? {}
  const prominence = landmarks.epicondyleMedial?.mm
  const isFlat = (landmark: Landmark | undefined, perMm: number | undefined): boolean | null =>
    landmark?.source !== 'found' || perMm === undefined ? null : perMm < flatDomePerMm
  return {
    trochlearGroove: groove && { ...groove, against: truncated ? 'shaft axis' : 'mechanical axis' },
    femoralBow: bow,
    medialSulcus: sulcus && prominence ? { ...sulcus, fromProminenceMm: distance(sulcus.mm, prominence) } : null,
    epicondyles: {
      medialFlatDome: isFlat(landmarks.epicondyleMedial, caps?.medialPerMm),
      lateralFlatDome: isFlat(landmarks.epicondyleLateral, caps?.lateralPerMm),
    },
  }
}
