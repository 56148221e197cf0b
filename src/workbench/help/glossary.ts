import type { DrawingName } from './drawings.tsx'

export interface Term {
  readonly term: string
  readonly meaning: string
  readonly drawing: DrawingName
}

/** The words of the window, each with a drawing. */
export const glossary: readonly Term[] = [
  {
    term: 'HKA',
    meaning: 'Hip–knee–ankle angle of the limb seen from the front: 180° is straight, less is varus, more is valgus.',
    drawing: 'hka',
  },
  {
    term: 'Arithmetic HKA',
    meaning:
      'MPTA less LDFA: the limb the two joint lines alone would make, wear and laxity left out. Negative is varus.',
    drawing: 'joint-lines',
  },
  {
    term: 'LDFA',
    meaning:
      'Lateral distal femoral angle: between the femur’s mechanical axis and the common tangent of its two distal condyles.',
    drawing: 'ldfa',
  },
  {
    term: 'MPTA',
    meaning:
      'Medial proximal tibial angle: between the tibia’s mechanical axis and the line through its two plateau points.',
    drawing: 'mpta',
  },
  {
    term: 'JLCA',
    meaning: 'Joint line convergence: how far the femoral and the tibial joint line are from parallel.',
    drawing: 'convergence',
  },
  {
    term: 'Joint line obliquity',
    meaning: 'MPTA plus LDFA: 180° is a joint line square to the limb, less slopes down to the medial side.',
    drawing: 'obliquity',
  },
  {
    term: 'Anteversion',
    meaning:
      'Turn of the femoral neck against the back of the condyles, seen along the mechanical axis; head ahead is positive.',
    drawing: 'anteversion',
  },
  {
    term: 'Tibial torsion',
    meaning: 'Turn of the ankle against the plateaus, seen along the mechanical axis; outward is positive.',
    drawing: 'torsion',
  },
  {
    term: '± 95 %',
    meaning:
      'Where a number would lie in 95 of 100 readings, if landmarks and surface err as far as entered. Not in it: what the scan and the lying pose do.',
    drawing: 'spread',
  },
  {
    term: 'Slope',
    meaning: 'Lean of the plateau or of the tibial cut seen from the side; posterior side down is positive.',
    drawing: 'slope',
  },
  {
    term: 'Varus, valgus',
    meaning: 'Of a limb: knee outward, knee inward. Of the tibial cut: medial side lower is varus.',
    drawing: 'varus',
  },
  {
    term: 'Mechanical axis',
    meaning: 'Femur: hip centre to knee centre. Tibia: knee centre to ankle centre.',
    drawing: 'limb',
  },
  {
    term: 'Taken',
    meaning: 'What has gone at a place: bone and cartilage of the piece, saw kerf, and wear from before.',
    drawing: 'taken',
  },
  { term: 'Put back', meaning: 'Thickness of the component at that place.', drawing: 'put-back' },
  { term: 'Kerf', meaning: 'What the saw turns to dust: the thickness of its blade with its set.', drawing: 'kerf' },
  { term: 'Piece', meaning: 'What lies on the table after a cut, and what a caliper can read.', drawing: 'pieces' },
  { term: 'Tray', meaning: 'Tibial component that carries the insert.', drawing: 'tray' },
  {
    term: 'Tray to floor',
    meaning:
      'Angle of the standing tray to the floor: side to side, medial side down positive; front to back, posterior side down positive.',
    drawing: 'level',
  },
  { term: 'Plumb line', meaning: 'Straight down from the hip centre.', drawing: 'plumb' },
  {
    term: 'Shear to compression',
    meaning: 'The part of a load that pushes along the tray against the part that presses on it.',
    drawing: 'shear',
  },
  {
    term: 'Vertical load, along the tibia',
    meaning: 'Two directions between which the real load lies; both are always shown.',
    drawing: 'two-loads',
  },
  {
    term: 'Edge loading',
    meaning: 'Contact that reaches the rim of the bearing, by the definition given beside the number.',
    drawing: 'edge',
  },
  { term: 'Mechanical recipe', meaning: 'Both cuts square to the mechanical axes.', drawing: 'mpta' },
  { term: 'Anatomic recipe', meaning: 'Both cuts three degrees off square.', drawing: 'tilted-cut' },
  {
    term: 'Kinematic recipe',
    meaning: 'Each cut takes what its component puts back, so the native surfaces return.',
    drawing: 'stack',
  },
  { term: 'Restricted recipe', meaning: 'Kinematic, then moved inside the entered limits.', drawing: 'limits' },
  {
    term: 'Entered limit',
    meaning: 'A bound typed in by someone. Inside it is not a proof of anything.',
    drawing: 'limits',
  },
  {
    term: 'Geometric slack',
    meaning: 'Room between the native surfaces after the cuts, less the components. No ligament, no laxity.',
    drawing: 'slack',
  },
  { term: 'Insert', meaning: 'The bearing between femoral component and tray.', drawing: 'insert' },
  {
    term: 'Worn',
    meaning: 'Cartilage, and bone where more than the cartilage has gone, that was there before; it counts as taken.',
    drawing: 'wear',
  },
  {
    term: 'Medial share',
    meaning: 'The part of the load on the bearing that goes through its medial side.',
    drawing: 'share',
  },
  {
    term: 'Pressure under the tray',
    meaning:
      'How tray and bone press on each other, with no pull between them; where the tray would pull, it lifts off.',
    drawing: 'press',
  },
  { term: 'Residual', meaning: 'How far the surface lies from the shape that was fitted to it.', drawing: 'residual' },
  {
    term: 'Overhang, bare bone',
    meaning:
      'Where the component stands farthest over the edge of the cut face, and where most bone is left uncovered.',
    drawing: 'overhang',
  },
]
