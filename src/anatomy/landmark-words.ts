import type { LandmarkId } from './terms.ts'

/** What each landmark is called. */
export const landmarkWords: Readonly<Record<LandmarkId, string>> = {
  hipCentre: 'hip centre',
  femoralKneeCentre: 'knee centre, femur',
  condyleDistalMedial: 'distal condyle, medial',
  condyleDistalLateral: 'distal condyle, lateral',
  condylePosteriorMedial: 'posterior condyle, medial',
  condylePosteriorLateral: 'posterior condyle, lateral',
  epicondyleMedial: 'epicondyle, medial',
  epicondyleLateral: 'epicondyle, lateral',
  notchCentre: 'notch',
  tibialKneeCentre: 'knee centre, tibia',
  plateauMedial: 'plateau, medial',
  plateauLateral: 'plateau, lateral',
  spinesCentre: 'spines',
  posteriorNotch: 'posterior notch',
  tubercle: 'tubercle',
  tubercleMedialThird: 'tubercle, medial third',
  malleolusMedial: 'malleolus, medial',
  malleolusLateral: 'malleolus, lateral',
  ankleCentre: 'ankle centre',
}
