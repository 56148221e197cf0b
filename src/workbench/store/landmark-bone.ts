import type { BoneName, LandmarkId } from '../../anatomy/terms.ts'

const femoral: ReadonlySet<string> = new Set<LandmarkId>([
  'hipCentre',
  'femoralKneeCentre',
  'condyleDistalMedial',
  'condyleDistalLateral',
  'condylePosteriorMedial',
  'condylePosteriorLateral',
  'epicondyleMedial',
  'epicondyleLateral',
  'notchCentre',
])

/** Whose patient frame a landmark is in. */
export const landmarkBone = (id: string): BoneName => (femoral.has(id) ? 'femur' : 'tibia')
