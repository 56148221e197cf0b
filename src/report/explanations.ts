/** How one group of numbers comes about, in words for the person reading them. */
export interface Explanation {
  /** Findings paths it speaks about; `*` is any one step, a path covers all below it. */
  readonly paths: readonly string[]
  readonly title: string
  readonly model: string
  readonly formula: string
  /** Findings or case paths that go in. */
  readonly inputs: readonly string[]
  readonly source: string
  readonly leavesOut: string
  /** Where people disagree, or where the number is easily misread; null where neither. */
  readonly caution: string | null
}

export const explanations: readonly Explanation[] = [
  {
    paths: ['angles.ldfaDeg', 'after.ldfaDeg'],
    title: 'Lateral distal femoral angle',
    model:
      'Angle on the lateral side between the mechanical axis of the femur (knee centre to hip centre) and the common tangent of the two distal condyles, seen in the femur’s own coronal plane.',
    formula:
      'LDFA = angle(lateral direction of the tangent, knee centre → hip centre); after the cuts 90 − valgus of the cut',
    inputs: [
      'landmarks.hipCentre',
      'landmarks.femoralKneeCentre',
      'landmarks.condyleDistalMedial',
      'landmarks.condyleDistalLateral',
    ],
    source: 'Paley et al., Orthop Clin North Am 1994;25:425 (85–90, from memory); Feucht et al., KSSTA 2021;29:3299',
    leavesOut: 'Cartilage: the tangent touches what is meshed.',
    caution: 'Moves by less than 1° with the choice of reference.',
  },
  {
    paths: ['angles.mptaDeg', 'angles.mptaPlainDeg', 'after.mptaDeg'],
    title: 'Medial proximal tibial angle',
    model:
      'Angle on the medial side between the mechanical axis of the tibia and the line of the two plateau points, brought to the same antero-posterior level along each plateau’s own slope.',
    formula: 'MPTA = 90 − coronal varus of the line; plain: without bringing the points to one level',
    inputs: [
      'landmarks.plateauMedial',
      'landmarks.plateauLateral',
      'landmarks.tibialKneeCentre',
      'landmarks.ankleCentre',
      'references',
    ],
    source: 'Paley et al., Orthop Clin North Am 1994;25:425 (85–90, from memory)',
    leavesOut: 'Cartilage; rim and osteophytes are left out of the plateau’s patch.',
    caution: 'On real bones it moves by up to 5° with the definitions alone; they stand beside it.',
  },
  {
    paths: ['angles.hkaDeg', 'angles.hkaOneCentreDeg', 'angles.arithmeticHkaDeg', 'after.hkaDeg'],
    title: 'Hip–knee–ankle angle',
    model: '180 minus the varus of the joint coordinate system between femur and tibia, each with its own knee centre.',
    formula: 'HKA = 180 − varus; arithmetic: MPTA − LDFA; after the cuts 180 + MPTA of the cut − LDFA of the cut',
    inputs: ['angles.ldfaDeg', 'angles.mptaDeg', 'angles.kneePose'],
    source: 'Grood & Suntay, J Biomech Eng 1983;105:136; MacDessi et al., Bone Joint J 2021;103-B:329',
    leavesOut: 'Standing: bones from CT or MRI lie down.',
    caution:
      'Standing adds varus and extension (healthy +1.2° and +3.8°; Brown et al.). The arithmetic angle is out by 1.3° beyond 8° of deformity.',
  },
  {
    paths: ['angles.jlcaDeg', 'angles.jlcaLinesDeg', 'angles.jointLineObliquityDeg', 'angles.coronalType'],
    title: 'Joint lines against each other and the coronal type',
    model:
      'Convergence follows from the other angles; obliquity is their sum; the type sorts arithmetic HKA and obliquity into nine.',
    formula: 'JLCA = MPTA − LDFA − (HKA − 180); obliquity = MPTA + LDFA; neutral −2…+2 and 177…183',
    inputs: ['angles.ldfaDeg', 'angles.mptaDeg', 'angles.hkaDeg'],
    source: 'MacDessi et al., Bone Joint J 2021;103-B:329',
    leavesOut: 'Convergence under load.',
    caution: 'The type takes healthy ligaments for granted.',
  },
  {
    paths: ['angles.slopeMedialDeg', 'angles.slopeLateralDeg', 'after.slopeDeg'],
    title: 'Posterior slope',
    model:
      'Sagittal trace of the plane fitted to the load-bearing part of each plateau, against the stated tibial axis.',
    formula: 'slope = atan(−nx / ny), posterior side down positive',
    inputs: ['landmarks.plateauMedial', 'landmarks.plateauLateral', 'references.slopeAxis'],
    source: 'Weinberg et al., Am J Sports Med 2017: medial 6.9 ± 3.7°, lateral 4.7 ± 3.6° in 1090 tibiae',
    leavesOut: 'Menisci and cartilage.',
    caution: 'Depends on the reference axis by about 3°.',
  },
  {
    paths: [
      'angles.posteriorCondylarDeg',
      'angles.kneePose',
      'relativePose',
      'angles.pdfaDeg',
      'angles.anteversionDeg',
      'angles.tibialTorsionDeg',
    ],
    title: 'Rotation and the femur from the side',
    model:
      'Epicondyle line against the posterior condylar line; neck axis against the same; malleolar line against the line of the plateau points; distal shaft axis against the line from trochlear ridge to posterior condyles; and how the tibia lies against the femur in the files.',
    formula:
      'joint coordinate system: flexion, varus, external rotation, lateral, anterior, proximal positive; offsets from the femoral to the tibial knee centre',
    inputs: ['landmarks'],
    source: 'Grood & Suntay, J Biomech Eng 1983;105:136',
    leavesOut: 'Cartilage of the posterior condyles: up to 1.8° in worn knees.',
    caution: null,
  },
  {
    paths: ['sites'],
    title: 'Taken and put back',
    model:
      'At each site the thickness between the bone’s surface and the saw’s plane, with cartilage and wear accounted for, against the component’s thickness there.',
    formula:
      'total = piece + kerf + worn; mesh is bone: total = distance + cartilage + worn bone; difference = total − component',
    inputs: ['wear', 'cartilage', 'saw.kerfMm', 'cuts'],
    source: 'bookkeeping; ±0.5 mm common practice, no source',
    leavesOut: 'What the saw really does: skiving, blade flutter.',
    caution:
      'Cartilage of 2 mm is an assumption; 2.5 mm has been proposed as better (Sandhar et al., J Exp Orthop 2026), and in single knees 1.5 to 5 mm was found.',
  },
  {
    paths: ['femoralPlace', 'cuts.*.departure', 'cuts.*.gapMm', 'cuts.*.interferenceMm'],
    title: 'Component and sawn bone',
    model:
      'The femoral component stands where its box puts it. A cut may leave the component’s face, about the middle of that face: deeper into the bone, turned as flexion turns the component, or with its medial edge deeper. Both are flat, so the widest room and the farthest interference lie at corners of the bone under the face.',
    formula:
      'distance of the sawn face from the component’s face, deeper positive; room = largest, bone into it = largest negative',
    inputs: ['cuts.departures', 'cuts.femur', 'implants.femurSize'],
    source: 'geometry; no source',
    leavesOut: 'Cement, press fit, crushed bone, and how the component finds its seat when bone stands in its way.',
    caution:
      'Piece and total are those of the saw; limb axis, joint lines and slack those of the component in its place.',
  },
  {
    paths: ['cuts', 'volumes', 'coverage', 'bones'],
    title: 'Volumes and areas',
    model:
      'Exact volume of the mesh on the removed side of each plane, in cutting order; the femur’s cuts act on its distal block only.',
    formula:
      'divergence theorem about a local origin; piece = removed − slab of one kerf; mean thickness = removed / face; thickest = farthest point taken, along the cut’s normal',
    inputs: ['cuts', 'saw.kerfMm'],
    source: 'Mirtich, J Graphics Tools 1996;1(2):31',
    leavesOut: 'Segmentation error: a volume is no surer than ± surface area × 0.5 mm, several cm³ for a bone.',
    caution: 'Compare recipes on the same mesh rather than meshes with each other.',
  },
  {
    paths: ['limits', 'corrections', 'restriction'],
    title: 'Limits',
    model: 'A value against the bounds that were entered.',
    formula: 'inside, just beyond, beyond',
    inputs: ['limits'],
    source: 'common practice, no source',
    leavesOut: 'Whether the bounds are right for this person.',
    caution: 'The usual bounds are consensus, not proven thresholds; the order of corrections is our reading.',
  },
  {
    paths: [
      'gaps',
      'after.jointLineShiftMedialMm',
      'after.jointLineShiftLateralMm',
      'after.legLengthMm',
      'consequences',
      'conversion',
    ],
    title: 'Geometric consequences',
    model: 'Native surfaces just touching: no ligament, no laxity.',
    formula:
      'gap = total of tibia + total of femur; slack = gap − components; a medial partial takes and puts back nothing laterally',
    inputs: ['sites'],
    source: 'geometry',
    leavesOut: 'Ligaments, releases, fixed flexion.',
    caution: 'A geometric gap is not the gap a spreader would find.',
  },
  {
    paths: ['stance', 'sensitivities'],
    title: 'The standing leg',
    model:
      'The leg is re-posed: knee centres together, limb deviation native before and LDFA − MPTA of the cuts after, hip plumb above ankle from the side, hips and ankles at their spacings from the front, knee axis facing forward. The tray’s own axes then make their angles with the floor.',
    formula: 'coronal tilt = asin(−m·up), sagittal = asin(−p·up), total = angle(n, up); Lt·sin τ + Lf·sin ε = w − a',
    inputs: ['stance', 'after.ldfaDeg', 'after.mptaDeg', 'angles.hkaDeg'],
    source:
      'planar chain as the companion; healthy joint line to floor 0.3 ± 2.0° (Victor et al., CORR 2014;472:98); natural foot distance 16.5 ± 3.8 cm (Bio-Med Mater Eng, bme1085)',
    leavesOut:
      'Trunk, muscles, gait: static tilt explains little of the dynamic (R² 0.17, six people; Trepczynski et al. 2021).',
    caution:
      'Foot spacing dominates: about 0.7° per 10 mm of each foot. The three degrees of lean need feet close together; at the natural distance the leg is nearly plumb.',
  },
  {
    paths: [
      'loading.*.loadN',
      'loading.*.compressionN',
      'loading.*.shearN',
      'loading.*.shearToCompression',
      'loading.*.shearCoronal',
      'loading.*.shearSagittal',
    ],
    title: 'Shear under the tray',
    model:
      'The load split along the tray’s normal and in its plane, for a vertical load and for a load along the tibia.',
    formula: 'N = |F·n|, S = |F − (F·n)n|; along the tibia S/N = tan of the cut’s total tilt',
    inputs: ['load', 'stance', 'after'],
    source: 'statics; size of the load: Kutzner et al., J Biomech 2010;43:2164, five people',
    leavesOut: 'Muscle forces’ direction, friction, dynamics.',
    caution:
      'A level tray is without shear only if the load is vertical. In people the load stays close to the tray’s normal (shear 10 to 20 times smaller): look at both directions.',
  },
  {
    paths: ['loading.*.medialShare'],
    title: 'Medial share',
    model: 'Balance of two contact points under the line from hip centre to ankle centre.',
    formula: 'share = 0.5 + offset / spacing; never clipped',
    inputs: ['stance.*.kneeOffsetMm', 'implants'],
    source:
      'statics; in vivo 0.6 to 0.8 are typical, and share follows alignment (R² 0.88 on one leg; Kutzner et al., Bone Joint J 2017;99-B:779)',
    leavesOut: 'Muscles, which is why a straight leg has 0.5 here and more in people.',
    caution: 'Varus raises the medial share clearly; the size of the medial force is less correlated.',
  },
  {
    paths: ['loading.*.interface', 'loading.*.interfacePeakMpa'],
    title: 'Pressure under the tray',
    model:
      'Rigid tray on an elastic bed that presses and does not pull, on the region common to tray and resected bone.',
    formula: 'p = max(0, a + b·x + c·y) with ∫p, ∫p·x, ∫p·y in balance with the load',
    inputs: ['loading.*.bearing', 'coverage'],
    source: 'kern rules and no-tension strips are its special cases (handbooks; checked)',
    leavesOut: 'Keel, pegs, cement, bone that varies; how long a fixation lasts and how far a component migrates.',
    caution: 'Bone strength varies by up to 100 times with the place: compare with bands, there is no pass line.',
  },
  {
    paths: ['loading.*.bearing', 'loading.*.facing'],
    title: 'Contact on the bearing',
    model:
      'Femoral condyles pressed into the insert: an elastic layer on a rigid base, solved on a grid; the condyles slide in their dishes until the slope carries the shear, and tilt until the moment balances. How the femoral component is turned over the tray follows from the cuts and the pose unless it is entered.',
    formula: 'p = K′·u/h or −K′·ln(1 − u/h), K′ = (1 − ν)E / ((1 + ν)(1 − 2ν))',
    inputs: ['bearing', 'implants', 'loading.*.medialShare'],
    source: 'Bei & Fregly, Med Eng Phys 2004;26:777; half-space figure: Hertz',
    leavesOut: 'Friction, wear, creep, yielding; ligaments and insert do not turn the bones back.',
    caution:
      'The layer law holds for patches wider than the layer is thick; where they are narrower the half-space figure is as near. ν changes the stiffness by 22 % from 0.45 to 0.46. Above yield (10 to 20 MPa and more, from memory) pressures are indicative only.',
  },
  {
    paths: ['landmarks', 'fits', 'shape'],
    title: 'Landmarks',
    model:
      'Found from shape alone, each by its written definition; residual and confidence stand beside them. One set by hand or entered is held against where the surface shows it without the hand.',
    formula: 'least-squares fits, extreme points, saddles; iterated with the bone’s own frame',
    inputs: ['references'],
    source: 'definitions in the contributor guide',
    leavesOut: 'What cannot be seen on the mesh.',
    caution:
      'A millimetre at the hip is 0.13° at the knee. Without a hip the groove’s line leans against the shaft axis, some 6° away from the mechanical one.',
  },
  {
    paths: ['intervals', 'uncertainty'],
    title: 'How sure the numbers are',
    model:
      'Every landmark is moved at random by its standard deviation, points of the surface along it, and off it by the surface’s accuracy and the noise seen on it; frames and angles are rebuilt for each draw, and the cuts follow by their derivative.',
    formula:
      '2.5th and 97.5th percentile of seeded draws; budget: (angle at +1 SD − angle at −1 SD) / 2 for each error alone',
    inputs: ['uncertainty.landmarks', 'uncertainty.meshAccuracyMm', 'run.seed'],
    source: 'Monte Carlo; standard deviations are common practice, no source, until entered',
    leavesOut: 'Slice thickness, lying pose, cartilage and wear, spacing of hips and feet, the saw.',
    caution: 'Errors are taken as independent: a surface that is too large all over turns nothing, but counts here.',
  },
  {
    paths: ['flags', 'anatomyLimits', 'definitions'],
    title: 'Extreme anatomy and other definitions',
    model:
      'A number of the native knee against the limit entered for it; and the same angle under each definition that is not in use, landmarks staying where they were found.',
    formula: 'raised below the lower or above the upper limit; frames rebuilt per definition',
    inputs: ['angles', 'landmarks', 'references'],
    source: 'limits: common practice, no source; ranges: the source named beside each',
    leavesOut: 'Whether the anatomy troubles this person.',
    caution: 'A coarse mesh can raise a flag by itself; the flag says so where the plateau is uneven.',
  },
  {
    paths: ['implants'],
    title: 'Component size',
    model: 'Sizes of a generic, invented family proposed by our rules, or chosen.',
    formula: 'tibia: largest size with little overhang; femur: smallest size that does not notch',
    inputs: ['implants'],
    source: 'our rule; lengths within published bone sizes',
    leavesOut: 'Any real product.',
    caution: null,
  },
]

/** Where people disagree or a number is easily misread, for a page that cannot be pressed: what it is about, and the words. */
export const cautions: readonly (readonly [about: string, words: string])[] = explanations.flatMap(
  ({ title, caution }) => (caution === null ? [] : [[title, caution] as const]),
)

/** The explanation of the number at a findings path, or null where there is none. */
export function explain(path: string): Explanation | null {
  const known = looked.get(path)
  if (known !== undefined) return known
  const steps = path.split('.')
  const found = explanations.find(({ paths }) => paths.some((own) => begins(own.split('.'), steps))) ?? null
  looked.set(path, found)
  return found
}

/** Every figure in sight asks at every change; paths are those of the findings, some hundreds. */
const looked = new Map<string, Explanation | null>()

function begins(own: readonly string[], steps: readonly string[]): boolean {
  return own.every((step, i) => (step === '*' ? steps[i] !== undefined : step === steps[i]))
}
