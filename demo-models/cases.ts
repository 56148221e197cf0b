import type { LegParameters } from './parameters.ts'

/** A demo case: what it shows, the leg it is made from, and the choices its case file carries. */
export interface DemoCase {
  /** Folder and id. */
  readonly id: string
  readonly title: string
  readonly sentence: string
  readonly leg: Partial<LegParameters>
  readonly recipe: 'mechanical' | 'anatomic' | 'kinematic' | 'restricted'
  /** Cartilage and bone worn off, mm, as the case document means it (bone alone is `medialWearMm` of the leg). */
  readonly wear: { readonly medialMm: number; readonly lateralMm: number; readonly posteriorMedialMm?: number }
  readonly notes: string
}

/** Three invented knees, named after birds of the shore. */
export const demoCases: readonly DemoCase[] = [
  {
    id: 'heron',
    title: 'Heron: an ordinary knee',
    sentence: 'Straight limb, joint line two to three degrees oblique, no wear: the plain recipe and its alternatives.',
    leg: {
      side: 'right',
      size: 0.98,
      femurLengthMm: 428,
      tibiaLengthMm: 362,
      ldfaDeg: 87.5,
      mptaDeg: 87,
      gapLateralMm: 4.6,
    },
    recipe: 'kinematic',
    wear: { medialMm: 0, lateralMm: 0 },
    notes: 'Synthetic bones. Native slope 7° medial, 5.5° lateral; no cartilage or bone is worn.',
  },
  {
    id: 'plover',
    title: 'Plover: constitutional varus, worn medially',
    sentence: 'A tibia born in varus, the medial cartilage gone and a millimetre of bone with it, small osteophytes.',
    leg: {
      side: 'left',
      size: 1.06,
      femurLengthMm: 452,
      tibiaLengthMm: 384,
      ldfaDeg: 88.6,
      mptaDeg: 84.8,
      slopeMedialDeg: 8.5,
      slopeLateralDeg: 6,
      anteversionDeg: 10,
      tibialTorsionDeg: 30,
      headRadiusMm: 25,
      neckLengthMm: 55,
      femoralBowMm: 14,
      medialWearMm: 1,
      osteophyteMm: 2.5,
      gapMedialMm: 1.2,
      gapLateralMm: 4.4,
    },
    recipe: 'restricted',
    wear: { medialMm: 3, lateralMm: 0, posteriorMedialMm: 0 },
    notes:
      'Synthetic bones. Medial wear 3 mm on each bone, distally: 2 mm of assumed cartilage and 1 mm of bone; the posterior condyle is not worn.',
  },
  {
    id: 'curlew',
    title: 'Curlew: an oblique joint line',
    sentence: 'Straight limb over a joint line that leans far: is the component level on the bench or on the floor?',
    leg: {
      side: 'right',
      size: 0.92,
      femurLengthMm: 402,
      tibiaLengthMm: 338,
      ldfaDeg: 84,
      mptaDeg: 83.4,
      slopeMedialDeg: 6,
      slopeLateralDeg: 4.5,
      anteversionDeg: 20,
      tibialTorsionDeg: 22,
      headRadiusMm: 21.5,
      neckLengthMm: 48,
      neckShaftDeg: 130,
      gapLateralMm: 4.4,
    },
    recipe: 'kinematic',
    wear: { medialMm: 0, lateralMm: 0 },
    notes: 'Synthetic bones. Femur and tibia both six degrees oblique, cancelling in the limb axis.',
  },
]
