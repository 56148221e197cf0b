import type { DrawingName } from './drawings.tsx'

/** The drawing beside each explanation, by its title. */
export const explainedDrawings: Readonly<Record<string, DrawingName>> = {
  'Lateral distal femoral angle': 'ldfa',
  'Medial proximal tibial angle': 'mpta',
  'Hip–knee–ankle angle': 'limb',
  'Joint lines against each other and the coronal type': 'joint-lines',
  'Posterior slope': 'slope',
  'Rotation and the femur from the side': 'rotation',
  'Taken and put back': 'stack',
  'Component and sawn bone': 'pieces',
  'Volumes and areas': 'pieces',
  Limits: 'limits',
  'Geometric consequences': 'joint-lines',
  'The standing leg': 'level',
  'Shear under the tray': 'shear',
  'Medial share': 'share',
  'Pressure under the tray': 'press',
  'Contact on the bearing': 'edge',
  Landmarks: 'head',
  'How sure the numbers are': 'spread',
  'Extreme anatomy and other definitions': 'limits',
  'Component size': 'pieces',
}

export const drawingOf = (title: string): DrawingName => explainedDrawings[title] ?? 'limb'
