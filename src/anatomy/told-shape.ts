import { distance } from '../geometry/vec.ts'
import { flatDomePerMm } from './epicondyles.ts'
import type { EpicondylarSulcus, FemoralShape, FemurAnatomy, Landmark, TrochlearGroove } from './terms.ts'

/** A femur's shape as the findings tell it. */
export interface ToldShape {
  readonly trochlearGroove: (TrochlearGroove & { readonly against: 'mechanical axis' | 'shaft axis' }) | null
  readonly femoralBow: FemoralShape['bow']
  /** Absent where none stands out. */
  readonly medialSulcus?: EpicondylarSulcus & { readonly fromProminenceMm: number }
  /** Whether the highest point of a prominence is told only roughly; absent where it was set by hand. */
  readonly epicondyles: { readonly medialFlatDome?: boolean; readonly lateralFlatDome?: boolean }
}

/** What the shape of a femur says beyond its landmarks, with what it is told against; patient frame, mm, degrees. */
export function toldShape({ shape, landmarks, truncated, epicondyleCaps: caps }: FemurAnatomy): ToldShape {
  const { groove = null, bow = null, sulcus = null } = shape ?? {}
  const prominence = landmarks.epicondyleMedial?.mm
  const told = (name: 'medialFlatDome' | 'lateralFlatDome', mark: Landmark | undefined, perMm: number | undefined) =>
    mark?.source !== 'found' || perMm === undefined ? {} : { [name]: perMm < flatDomePerMm }
  return {
    trochlearGroove: groove && { ...groove, against: truncated ? 'shaft axis' : 'mechanical axis' },
    femoralBow: bow,
    ...(sulcus && prominence ? { medialSulcus: { ...sulcus, fromProminenceMm: distance(sulcus.mm, prominence) } } : {}),
    epicondyles: {
      ...told('medialFlatDome', landmarks.epicondyleMedial, caps?.medialPerMm),
      ...told('lateralFlatDome', landmarks.epicondyleLateral, caps?.lateralPerMm),
    },
  }
}
