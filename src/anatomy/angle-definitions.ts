import { type CoronalType, coronalType } from './coronal-type.ts'
import { holdFemur, holdTibia } from './hold-landmarks.ts'
import { anglesOfKnee, posteriorCondylarAngle } from './measure-angles.ts'
import { type AngleKey, type NormalRange, normalRanges } from './normal-ranges.ts'
import type { FemurAnatomy, KneeAngles, LandmarkId, References, TibiaAnatomy } from './terms.ts'
import { anteversionDeg, posteriorDistalFemoralDeg, tibialTorsionDeg, torsionFromBehindDeg } from './torsion.ts'

/** One other way of telling an angle, and what it gives on this knee; degrees. */
export interface AngleAlternative {
  readonly definition: string
  readonly valueDeg: number
  /** The case's choice that makes it the default; null where it is always told beside it. */
  readonly choose: { readonly reference: keyof References; readonly value: string } | null
}

/** The coronal type by another definition of the angles it is made of. */
export interface TypeAlternative {
  readonly definition: string
  readonly type: CoronalType
  readonly choose: AngleAlternative['choose']
}

/** What an angle rests on, and what it would be by other definitions. */
export interface AngleDefinition {
  readonly definition: string
  readonly landmarks: readonly LandmarkId[]
  /** Choices of the case that it follows. */
  readonly references: readonly (keyof References)[]
  readonly alternatives: readonly AngleAlternative[]
  /** Of the coronal type only. */
  readonly types?: readonly TypeAlternative[]
  /** Where healthy adults lie; null where no source is known. */
  readonly normal: NormalRange | null
}

/**
 * Every angle's definition with its alternatives' values on this knee, landmarks staying where they were found. An alternative
 * that needs what is not there is left out; `shared`: both bones lie in one frame as they were read.
 */
export function angleDefinitions(
  femur: FemurAnatomy,
  tibia: TibiaAnatomy,
  references: References,
  shared: boolean,
): Readonly<Record<string, AngleDefinition>> {
  const now = anglesOfKnee(femur, tibia, references, shared)
  const others = otherChoices(femur, tibia, references, shared).map((choice) => ({
    ...choice,
    angles: anglesUnder(femur, tibia, { ...references, [choice.reference]: choice.value }, shared),
  }))
  const entries = (Object.keys(ruled) as AngleKey[]).flatMap((key) => {
    if (now[key] === null) return []
    const { definition, landmarks, follows, beside } = ruled[key]
    const byChoice = others.flatMap(({ reference, value, words, angles }): AngleAlternative[] => {
      const valueDeg = angles[key]
      return follows.includes(reference) && valueDeg !== null
        ? [{ definition: words, valueDeg, choose: { reference, value } }]
        : []
    })
    const always = beside.flatMap(({ angle, words, plus = 0 }): AngleAlternative[] => {
      const valueDeg = now[angle]
      return valueDeg === null ? [] : [{ definition: words, valueDeg: valueDeg + plus, choose: null }]
    })
    const entry: AngleDefinition = {
      definition,
      landmarks,
      references: follows,
      alternatives: [...always, ...besides(key, femur, tibia), ...byChoice],
      normal: normalRanges[key] ?? null,
    }
    return [[`angles.${key}`, entry] as const]
  })
  return Object.fromEntries([...entries, ...besideNumbers(now, otherTypes(now, others))])
}

/** The coronal type under every other definition that its two angles follow. */
function otherTypes(
  { ldfaDeg, mptaPlainDeg }: KneeAngles,
  others: readonly (Choice & { readonly angles: KneeAngles })[],
): readonly TypeAlternative[] {
  const follows: readonly (keyof References)[] = [...byFemur, ...byPlateaus]
  const plain: readonly TypeAlternative[] =
    ldfaDeg === null || mptaPlainDeg === null
      ? []
      : [
          {
            definition: 'MPTA by the plain line through the two plateau points',
            type: coronalType(ldfaDeg, mptaPlainDeg),
            choose: null,
          },
        ]
  return [
    ...plain,
    ...others.flatMap(({ reference, value, words, angles }): readonly TypeAlternative[] =>
      follows.includes(reference) && angles.coronalType !== null
        ? [{ definition: words, type: angles.coronalType, choose: { reference, value } }]
        : [],
    ),
  ]
}

/** What is no single number: the coronal type and the pose of the joint. */
function besideNumbers(
  { coronalType: type, kneePose }: KneeAngles,
  types: readonly TypeAlternative[],
): readonly (readonly [string, AngleDefinition])[] {
  const told = (definition: string, landmarks: readonly LandmarkId[], references: readonly (keyof References)[]) => ({
    definition,
    landmarks,
    references,
    alternatives: [],
    normal: null,
  })
  const lines = [...femoralAxes, ...femoralLine, ...tibialAxes, ...tibialLine]
  const pose = (definition: string) => told(definition, [...femoralAxes, ...tibialAxes], [...byFemur, ...byTibia])
  return [
    ...(type === null
      ? []
      : [
          [
            'angles.coronalType',
            {
              types,
              ...told(
                'nine types: arithmetic HKA below −2°, within, above +2° by joint line obliquity below 177°, within, above 183° (MacDessi et al., Bone Joint J 2021;103-B:329)',
                lines,
                [...byFemur, ...byPlateaus],
              ),
            },
          ] as const,
        ]),
    ...(kneePose === null
      ? []
      : ([
          ['angles.kneePose.flexionDeg', pose(`flexion of the tibia about the femur’s medio-lateral axis, ${byJoint}`)],
          ['angles.kneePose.varusDeg', pose(`varus about the floating axis, ${byJoint}`)],
          ['angles.kneePose.externalRotationDeg', pose(`external rotation about the tibia’s long axis, ${byJoint}`)],
          [
            'angles.kneePose.lateralMm',
            pose(
              `from the femoral to the tibial knee centre, laterally along the femur’s medio-lateral axis, ${byJoint}`,
            ),
          ],
          ['angles.kneePose.anteriorMm', pose(`the same along the floating axis, to the front, ${byJoint}`)],
          ['angles.kneePose.proximalMm', pose(`the same along the tibia’s long axis, proximally, ${byJoint}`)],
        ] as const)),
  ]
}

const byJoint = 'joint coordinate system as the files lie (Grood and Suntay, J Biomech Eng 1983;105:136)'

/** Other ways of telling an angle for which the case has no choice, always told beside it. */
function besides(key: AngleKey, femur: FemurAnatomy, tibia: TibiaAnatomy): readonly AngleAlternative[] {
  const told = (definition: string, valueDeg: number | null): readonly AngleAlternative[] =>
    valueDeg === null ? [] : [{ definition, valueDeg, choose: null }]
  if (key === 'posteriorCondylarDeg') {
    const sulcus = femur.shape?.sulcus
    return told(
      'from the sulcus of the medial epicondyle instead of its prominence',
      sulcus ? posteriorCondylarAngle(femur, sulcus.mm) : null,
    )
  }
  if (key === 'pdfaDeg' && !femur.truncated)
    return [
      ...told(
        'against the axis of the whole shaft',
        femur.shaftUnclear ? null : posteriorDistalFemoralDeg(femur, femur.shaft.direction),
      ),
      ...told('against the mechanical axis', posteriorDistalFemoralDeg(femur, femur.frame.y)),
    ]
  if (key === 'anteversionDeg')
    return [
      ...told('against the epicondyle line', anteversionDeg(femur, 'epicondylar')),
      ...told('against the axis of the condylar cylinder', anteversionDeg(femur, 'condylar-cylinder')),
    ]
  if (key === 'tibialTorsionDeg')
    return [
      ...told('against the tangent behind the tibial condyles', torsionFromBehindDeg(tibia)),
      ...(tibia.landmarks.malleolusLateral
        ? told(
            'from the medial malleolus through the middle of the plafond',
            tibialTorsionDeg({ ...tibia, landmarks: withoutFibula(tibia.landmarks) }),
          )
        : []),
    ]
  return []
}

/** As it would be without a lateral malleolus. */
function withoutFibula({ malleolusLateral: _fibula, ...rest }: TibiaAnatomy['landmarks']): TibiaAnatomy['landmarks'] {
  return rest
}

function anglesUnder(femur: FemurAnatomy, tibia: TibiaAnatomy, references: References, shared: boolean): KneeAngles {
  const asSet = (bone: FemurAnatomy | TibiaAnatomy) =>
    Object.fromEntries(
      Object.entries(bone.landmarks).flatMap(([id, mark]) =>
        mark.source === 'found' || mark.from ? [] : [[id, { mm: mark.mm, source: mark.source }]],
      ),
    )
  const turned = holdFemur(femur, asSet(femur), references)
  return anglesOfKnee(turned, holdTibia(tibia, asSet(tibia), references, turned), references, shared)
}

interface Choice {
  readonly reference: keyof References
  readonly value: string
  readonly words: string
}

/** Definitions not in use that these bones can be told by. */
function otherChoices(femur: FemurAnatomy, tibia: TibiaAnatomy, now: References, shared: boolean): readonly Choice[] {
  const all: readonly (Choice & { readonly able: boolean })[] = [
    { reference: 'femoralKneeCentre', value: 'notch', words: 'knee centre at the notch saddle', able: true },
    { reference: 'femoralKneeCentre', value: 'epicondyles', words: 'knee centre between the epicondyles', able: true },
    {
      reference: 'femoralMedioLateral',
      value: 'posterior-condylar',
      words: 'coronal plane along the posterior condylar line',
      able: true,
    },
    {
      reference: 'femoralMedioLateral',
      value: 'epicondylar',
      words: 'coronal plane along the epicondyle line',
      able: femur.landmarks.epicondyleMedial !== undefined && femur.landmarks.epicondyleLateral !== undefined,
    },
    {
      reference: 'femoralMedioLateral',
      value: 'condylar-cylinder',
      words: 'coronal plane along the condylar cylinder’s axis',
      able: femur.condylarCylinder !== null,
    },
    { reference: 'tibialKneeCentre', value: 'spines', words: 'knee centre between the spines', able: true },
    { reference: 'tibialKneeCentre', value: 'plateaus', words: 'knee centre between the plateau points', able: true },
    {
      reference: 'ankleCentre',
      value: 'plafond',
      words: 'ankle centre at the plafond',
      able: tibia.otherwise?.plafond !== undefined && tibia.otherwise.plafond !== null,
    },
    {
      reference: 'ankleCentre',
      value: 'malleoli',
      words: 'ankle centre between the malleoli',
      able: tibia.landmarks.malleolusLateral !== undefined && tibia.landmarks.malleolusMedial !== undefined,
    },
    {
      reference: 'tibialAnterior',
      value: 'pcl-tubercle',
      words: 'front from the posterior notch to the tubercle’s medial third',
      able: true,
    },
    {
      reference: 'tibialAnterior',
      value: 'posterior-tangent',
      words: 'front square to the tangent behind the tibial condyles',
      able: tibia.otherwise !== undefined,
    },
    {
      reference: 'tibialAnterior',
      value: 'femoral',
      words: 'front carried over from the femur',
      able: shared,
    },
    {
      reference: 'plateauPoint',
      value: 'centroid',
      words: 'plateau points at the centroids of the load-bearing patches',
      able: tibia.otherwise !== undefined,
    },
    {
      reference: 'plateauPoint',
      value: 'deepest',
      words: 'plateau points at the deepest points of the patches',
      able: tibia.otherwise !== undefined,
    },
    { reference: 'slopeAxis', value: 'mechanical', words: 'against the mechanical axis', able: !tibia.truncated },
    { reference: 'slopeAxis', value: 'proximal-shaft', words: 'against the proximal shaft axis', able: true },
  ]
  return all.filter(({ reference, value, able }) => able && now[reference] !== value)
}

interface Rule {
  readonly definition: string
  readonly landmarks: readonly LandmarkId[]
  readonly follows: readonly (keyof References)[]
  /** Angles of other names that answer the same question. */
  readonly beside: readonly { readonly angle: AngleKey; readonly words: string; readonly plus?: number }[]
}

const femoralAxes = ['hipCentre', 'femoralKneeCentre', 'condylePosteriorMedial', 'condylePosteriorLateral'] as const
const femoralLine = ['condyleDistalMedial', 'condyleDistalLateral'] as const
const tibialAxes = ['tibialKneeCentre', 'ankleCentre', 'posteriorNotch', 'tubercleMedialThird'] as const
const tibialLine = ['plateauMedial', 'plateauLateral'] as const
const byFemur = ['femoralKneeCentre', 'femoralMedioLateral'] as const
const byTibia = ['tibialKneeCentre', 'ankleCentre', 'tibialAnterior'] as const
const byPlateaus = [...byTibia, 'plateauPoint'] as const

const rule = (
  definition: string,
  landmarks: readonly LandmarkId[],
  follows: readonly (keyof References)[],
  beside: Rule['beside'] = [],
): Rule => ({ definition, landmarks, follows, beside })

const ruled: Readonly<Record<AngleKey, Rule>> = {
  hkaDeg: rule(
    '180° less the varus between the two mechanical axes by the joint coordinate system, each bone with its own knee centre',
    [...femoralAxes, ...tibialAxes.slice(0, 2)],
    [...byFemur, ...byTibia],
    [
      { angle: 'hkaOneCentreDeg', words: 'one knee centre, the femoral, for both bones' },
      { angle: 'arithmeticHkaDeg', words: 'arithmetic, 180° + MPTA − LDFA', plus: 180 },
    ],
  ),
  hkaOneCentreDeg: rule(
    '180° less the varus between hip, femoral knee centre and ankle',
    [...femoralAxes, 'ankleCentre'],
    [...byFemur, 'ankleCentre'],
    [{ angle: 'hkaDeg', words: 'each bone with its own knee centre' }],
  ),
  ldfaDeg: rule(
    'lateral angle between the femoral mechanical axis and the common tangent of the distal condyles, in the femoral coronal plane',
    [...femoralAxes, ...femoralLine],
    byFemur,
  ),
  mptaDeg: rule(
    'medial angle between the tibial mechanical axis and the line of the plateau points, brought to one level along each patch’s slope, in the tibial coronal plane',
    [...tibialAxes, ...tibialLine],
    byPlateaus,
    [{ angle: 'mptaPlainDeg', words: 'plain line through the two plateau points' }],
  ),
  mptaPlainDeg: rule(
    'medial angle between the tibial mechanical axis and the plain line through the plateau points',
    [...tibialAxes, ...tibialLine],
    byPlateaus,
    [{ angle: 'mptaDeg', words: 'plateau points brought to one level' }],
  ),
  jlcaDeg: rule(
    'derived: MPTA − LDFA − (HKA − 180°), lateral opening positive',
    [...femoralAxes, ...femoralLine, ...tibialAxes, ...tibialLine],
    [...byFemur, ...byPlateaus],
    [{ angle: 'jlcaLinesDeg', words: 'measured between the two joint lines in the femoral coronal plane' }],
  ),
  jlcaLinesDeg: rule(
    'angle between the two joint lines in the femoral coronal plane, lateral opening positive',
    [...femoralAxes, ...femoralLine, ...tibialAxes, ...tibialLine],
    [...byFemur, ...byPlateaus],
    [{ angle: 'jlcaDeg', words: 'derived from MPTA, LDFA and HKA' }],
  ),
  arithmeticHkaDeg: rule(
    'MPTA − LDFA, varus negative',
    [...femoralAxes, ...femoralLine, ...tibialAxes, ...tibialLine],
    [...byFemur, ...byPlateaus],
    [{ angle: 'hkaDeg', words: 'measured, HKA − 180°', plus: -180 }],
  ),
  jointLineObliquityDeg: rule(
    'MPTA + LDFA; below 180° the apex points distally',
    [...femoralAxes, ...femoralLine, ...tibialAxes, ...tibialLine],
    [...byFemur, ...byPlateaus],
  ),
  slopeMedialDeg: rule(
    'sagittal trace of the medial patch’s plane against the tibial axis named',
    [...tibialAxes, 'plateauMedial'],
    ['slopeAxis', ...byTibia],
    [{ angle: 'slopeLateralDeg', words: 'the lateral plateau' }],
  ),
  slopeLateralDeg: rule(
    'sagittal trace of the lateral patch’s plane against the tibial axis named',
    [...tibialAxes, 'plateauLateral'],
    ['slopeAxis', ...byTibia],
    [{ angle: 'slopeMedialDeg', words: 'the medial plateau' }],
  ),
  posteriorCondylarDeg: rule(
    'epicondyle line against the posterior condylar line in the femoral axial plane, external positive',
    ['epicondyleMedial', 'epicondyleLateral', 'condylePosteriorMedial', 'condylePosteriorLateral'],
    byFemur,
  ),
  pdfaDeg: rule(
    'posterior angle between the distal shaft axis and the line from the foremost point of the trochlear ridges to the middle of the posterior condyle contacts; not the line of the radiograph',
    ['condylePosteriorMedial', 'condylePosteriorLateral'],
    byFemur,
  ),
  anteversionDeg: rule(
    'axis of the neck (head centre and centroids of sections across the neck) against the posterior condylar line, along the mechanical axis; head ahead positive',
    ['hipCentre', 'condylePosteriorMedial', 'condylePosteriorLateral'],
    ['femoralKneeCentre'],
  ),
  tibialTorsionDeg: rule(
    'malleolar line (tip of the medial malleolus through the plafond’s middle where no lateral malleolus is known) against the line of the plateau points, along the mechanical axis; external positive',
    ['malleolusMedial', 'malleolusLateral', 'ankleCentre', ...tibialLine],
    ['tibialKneeCentre', 'ankleCentre', 'plateauPoint'],
  ),
}
