import type { ReferenceLineName } from '../../anatomy/lay-on-shape.ts'
import type { ShapeKind } from '../../geometry/fit-shape.ts'
import type { HandTool, SnapName } from '../store/hand-slice.ts'

/** The words of work by hand. */

export const toolLabels: Readonly<Record<HandTool, string>> = { landmark: 'Landmark', points: 'Points', paint: 'Paint' }

export const toolHints: Readonly<Record<HandTool, string>> = {
  landmark: 'Choose a landmark in the list or the view; drag it over the bone, or click where it belongs.',
  points: 'Click points on one bone; a shape is fitted to them.',
  paint: 'Drag over one bone to paint; begin beside it to turn the view.',
}

export const snapLabels: Readonly<Record<SnapName, string>> = {
  surface: 'Surface',
  tip: 'Tip',
  groove: 'Groove',
  extreme: 'Extreme',
}

export const snapHints: Readonly<Record<SnapName, string>> = {
  surface: 'Exactly where the bone is clicked',
  tip: 'To the highest place over its surroundings',
  groove: 'To the bottom of the groove, as deep is seen from here',
  extreme: 'To the farthest place along a direction of the bone',
}

export const shapeLabels: Readonly<Record<ShapeKind, string>> = {
  plane: 'Plane',
  line: 'Line',
  circle: 'Circle',
  sphere: 'Sphere',
  cylinder: 'Cylinder',
}

export const referenceLabels: Readonly<Record<ReferenceLineName, string>> = {
  epicondyles: 'Epicondyle line',
  'posterior-condyles': 'Posterior condylar line',
  'distal-condyles': 'Distal joint line',
  'tibial-anterior': 'Tibial anterior',
  plateaus: 'Tibial joint line',
}

export const handText = {
  title: 'By hand',
  tool: 'Tool',
  snap: 'Draw to',
  way: 'Direction',
  within: 'Within',
  brush: 'Brush, radius',
  shape: 'Fit',
  reject: 'Leave outliers out',
  beyond: 'Beyond, robust SD',
  placeOf: 'Click the bone, or its place in the file’s own coordinates, mm:',
  pointsOn: (bone: string) => `Points on the ${bone.toLowerCase()}`,
  dropPoint: (n: number) => `Take point ${n} away`,
  onBone: 'Bone of the point',
  exactPoint: 'Point by coordinates: X Y Z in mm',
  exactExample: 'X Y Z',
  exactHint: 'Adds a point at these coordinates of the file, mm',
  add: 'Add',
  clearPoints: 'Clear the points',
  clearPaint: 'Clear the paint',
  fitted: (shape: string) => `Fitted ${shape.toLowerCase()}`,
  radius: 'Radius',
  rms: 'RMS residual',
  from: 'Points',
  pointsKept: (kept: string, rejected: string) => (rejected === '0' ? kept : `${kept}, ${rejected} left out`),
  limit: 'Left out beyond',
  area: 'Painted',
  centre: 'Centre',
  through: 'Through',
  direction: 'Direction',
  useAs: 'Use it as',
  cutOf: (cut: string) => `${cut} cut`,
  cutHint: (plane: boolean) =>
    plane
      ? 'Lays the cut on this plane: its angles and depth become entered values'
      : 'Turns the cut by this axis: its angles become entered values',
  needsPlan: 'Needs a plan of both bones',
  centreOf: (label: string) => `${label} at its centre`,
  chooseForCentre: 'Choose a landmark in the list to put it at the centre.',
  residual: 'Off the fitted shape',
  inside: 'inside',
  outside: 'outside',
  leftOut: 'left out',
} as const
