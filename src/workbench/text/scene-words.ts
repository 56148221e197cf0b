import type { DrawnShapeId } from '../../anatomy/drawn-shapes.ts'
import type { LoadDirection } from '../../loading/loads.ts'
import type { MeasureKind } from '../store/sight-slice.ts'

export const loadDirectionWords: Readonly<Record<LoadDirection, string>> = {
  vertical: 'straight down',
  'tibial-axis': 'along the tibia',
  own: 'own direction',
}

/** Names of what is fitted to or laid through the bones. */
export const shapeNames: Readonly<Record<DrawnShapeId, string>> = {
  'femoral-head': 'Femoral head',
  neck: 'Axis of the neck',
  'femoral-shaft': 'Shaft of the femur, with its bow',
  'condylar-cylinder': 'Condylar cylinder',
  'posterior-condyles': 'Posterior condylar line',
  epicondyles: 'Epicondyle line',
  'trochlear-groove': 'Trochlear groove',
  'medial-sulcus': 'Sulcus of the medial epicondyle',
  'plateau-medial': 'Medial plateau, its plane and slope',
  'plateau-lateral': 'Lateral plateau, its plane and slope',
  'tibial-front': 'Front of the tibia',
  'tibial-shaft': 'Proximal shaft axis of the tibia',
  malleoli: 'Malleolar line',
}

/** The words of the view. */
export const measureLabels: Readonly<Record<MeasureKind, string>> = {
  distance: 'Distance',
  angle: 'Angle',
  plane: 'To the cut',
}

export const measureHints: Readonly<Record<MeasureKind, string>> = {
  distance: 'Click two points.',
  angle: 'Click three points: the angle is at the second.',
  plane: 'Click one point: its distance from the plane of the active cut, or of a plane fitted by hand.',
}

export const sceneText = {
  marks: 'Marks of the landmarks',
  markSeen: 'in sight',
  markBehind: 'behind bone or within it',
  markDoubtful: 'doubtful',
  markByHand: 'set by hand or given',
  drawn: 'eye: drawn in the view',
  draw: (shape: string) => `Draw: ${shape.charAt(0).toLowerCase()}${shape.slice(1)}`,
  drawAll: 'Draw all of them',
  drawNone: 'Draw none of them',
  onTheInsert: 'On the insert in the view',
  nothing: 'nothing',
  paintedThickness: (thinnest: boolean, thickness: string, difference: string) =>
    `${thinnest ? 'thinnest' : 'thickest'} ${thickness} (${difference})`,
  paintedPressure: (side: string, pressure: string) => `${side} ${pressure}`,
  thicknessLegend: (cut: string) => `${cut}: taken less put back`,
  pressureLegend: (direction: LoadDirection) => `Pressure on the insert, ${loadDirectionWords[direction]}`,
  pictureHead: (side: string, declared: boolean) =>
    `${side.charAt(0).toUpperCase()}${side.slice(1)} knee${declared ? '' : ', side from shape'}`,
  before: 'Before',
  after: 'After',
  beforeView: '3D view of the bones before the cuts',
  measure: 'Measure',
  section: (cut: string) => `${cut}, face of the cut`,
  sectionPicture: (areaMm2: string) => `Outline of the face, ${areaMm2}`,
  sectionArea: 'Face',
  trayCover: 'Covered by the tray',
  overhang: 'Farthest overhang',
  gap: 'Farthest bare bone',
  none: 'none',
  views: 'Saved views',
  viewsWhat: 'Kept with the case: where one looks from, the stage, and what is shown. They change no number.',
  viewName: 'Name of this view',
  saveView: 'Save this view',
  usualName: (n: number) => `View ${n}`,
  noViews: 'None is saved yet.',
  dropView: (name: string) => `Remove ${name}`,
  goTo: (name: string, stage: string) => `${name}, ${stage}`,
  component: 'component',
  bone: 'bone',
  noPlane: 'no cut is planned',
} as const
