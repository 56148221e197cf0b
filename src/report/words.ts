import type { CutId, Procedure, RecipeName, SiteId } from '../planning/terms.ts'
import type { PoseName } from '../stance/terms.ts'

/** The trade's words for what findings call by an id; report and command line share them. */
export const siteWords: Readonly<Record<SiteId, string>> = {
  'tibia-medial': 'Tibia, medial',
  'tibia-lateral': 'Tibia, lateral',
  'femur-distal-medial': 'Femur distal, medial',
  'femur-distal-lateral': 'Femur distal, lateral',
  'femur-posterior-medial': 'Femur posterior, medial',
  'femur-posterior-lateral': 'Femur posterior, lateral',
}

export const cutWords: Readonly<Record<CutId, string>> = {
  tibia: 'Tibia',
  'tibia-vertical': 'Tibia, vertical',
  'femur-distal': 'Femur, distal',
  'femur-anterior': 'Femur, anterior',
  'femur-posterior': 'Femur, posterior',
  'femur-chamfer-posterior': 'Femur, posterior chamfer',
  'femur-chamfer-anterior': 'Femur, anterior chamfer',
}

export const recipeWords: Readonly<Record<RecipeName, string>> = {
  mechanical: 'mechanical',
  anatomic: 'anatomic',
  kinematic: 'kinematic',
  restricted: 'restricted',
}

export const procedureWords: Readonly<Record<Procedure, string>> = {
  total: 'total knee',
  'medial-partial': 'medial partial knee',
}

export const poseWords: Readonly<Record<PoseName, string>> = {
  'feet-together': 'feet together',
  natural: 'natural',
  'one-leg': 'one leg',
  own: 'own pose',
}

export const directionWords = { vertical: 'vertical', 'tibial-axis': 'along the tibia', own: 'own vector' } as const

/** What the entered limits are on. */
export const limitNames: Readonly<Record<string, string>> = {
  hka: 'HKA',
  ldfa: 'LDFA',
  mpta: 'MPTA',
  slope: 'slope',
  'tray-varus': 'varus of the tray',
}

export const sideSourceWords = {
  declared: 'declared',
  shape: 'from shape; a mirrored export cannot be excluded',
  position: 'from the position of femur over tibia',
} as const

/** What an entry of the stance is called beside its sensitivity. */
export const sensitivityWords = {
  ankleHalfSpacingMm: 'each foot outward',
  hipHalfSpacingMm: 'each hip outward',
  flexionDeg: 'knee flexion',
  footRotationDeg: 'foot rotation',
} as const

/** What no number of the program speaks about. */
export const notJudged: readonly string[] = [
  'patella and its tracking',
  'ligaments and their tension, laxity',
  'fixed flexion and contractures',
  'bone defects and their filling',
  'soft tissue and skin',
  'bone quality and fixation life',
  'clinical outcome',
]
