import { z } from 'zod'
import { companionNames, landmarkIds } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import { activities } from '../loading/knee-force.ts'
import { checkedTable, mostProfilePoints } from '../loading/own-profiles.ts'
import { edgeReadingIds, type FemoralCutId, siteIds } from '../planning/terms.ts'
import { type CaseDocument, newCase } from './document.ts'
import { lessonSchema } from './lesson-schema.ts'
import { currentVersion, migrate } from './migrations.ts'
import { mostViews } from './saved-view.ts'
import { type PathRule, type StablePath, stablePaths } from './stable-paths.ts'
import { viewSchema } from './view-schema.ts'

// Under a strict content policy nothing may be compiled at run time.
z.config({ jitless: true })

/** More steps than anyone makes by hand. */
const mostRepairs = 1000

const pathNames = Object.keys(stablePaths)
const coordinate = z.number().min(-1e5).max(1e5)
const point = z.tuple([coordinate, coordinate, coordinate])
const numberAt = (path: StablePath) => {
  const rule: PathRule = stablePaths[path]
  if (rule.kind !== 'number') throw new Error(`${path} is not a number`)
  const bounded = z.number().min(rule.low).max(rule.high)
  return rule.integer ? bounded.int() : bounded
}
const numberOrNullAt = (path: StablePath) => numberAt(path).nullable()
const departureOf = (id: FemoralCutId) =>
  z.strictObject({
    deeperMm: numberAt(`cuts.departures.${id}.deeperMm`),
    flexionDeg: numberAt(`cuts.departures.${id}.flexionDeg`),
    medialDeg: numberAt(`cuts.departures.${id}.medialDeg`),
  })

const lengthMm = z.number().min(0).max(1e5)
const fraction = z.number().min(0).max(1)
const repairStep = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('weld'), toleranceMm: lengthMm }),
  z.strictObject({ kind: z.literal('drop-duplicates') }),
  z.strictObject({ kind: z.literal('drop-fins'), belowAreaFraction: fraction }),
  z.strictObject({ kind: z.literal('mend-degenerate') }),
  z.strictObject({ kind: z.literal('orient') }),
  z.strictObject({ kind: z.literal('drop-islands'), belowAreaFraction: fraction }),
  z.strictObject({ kind: z.literal('keep-piece'), rank: z.number().int().min(0).max(999) }),
  z.strictObject({ kind: z.literal('fill-holes'), minLengthMm: lengthMm, maxLengthMm: lengthMm }),
  z.strictObject({
    kind: z.literal('cap-plane'),
    point,
    normal: z.tuple([z.number().min(-1).max(1), z.number().min(-1).max(1), z.number().min(-1).max(1)]),
    toleranceMm: lengthMm,
  }),
  z.strictObject({ kind: z.literal('split-edges') }),
])

const meshFile = z.strictObject({
  sha256: z.string().regex(/^[0-9a-f]{64}$/, 'not a SHA-256 in lower-case hexadecimal'),
  name: z.string().max(255),
  unitFactor: z.number().positive().max(1e4),
  repairs: z.array(repairStep).max(mostRepairs).default([]),
})
const meshReference = meshFile.nullable()

const fromCompanion = z.strictObject({
  part: z.enum(companionNames),
  file: meshFile,
  residualMm: lengthMm.nullable(),
  confidence: fraction,
  reason: z.string().max(1000).nullable(),
  radiusMm: lengthMm.nullable(),
})
const landmarkOverride = z.strictObject({
  mm: point,
  source: z.enum(['set', 'given']),
  from: fromCompanion.exactOptional(),
})

const dimension = z.number().min(0).max(500)
const femoralSize = z.strictObject({
  size: z.number().int().min(1).max(99),
  overallApMm: dimension,
  overallMlMm: dimension,
  distalMm: dimension,
  posteriorMm: dimension,
  anteriorMm: dimension,
  flangeHeightMm: dimension,
  condyleHeightMm: dimension,
  posteriorChamferMm: dimension,
  anteriorChamferMm: dimension,
  flangeTiltDeg: dimension,
  flangeTaper: dimension,
  distalRadiusMm: dimension,
  posteriorRadiusMm: dimension,
  coronalRadiusMm: dimension,
  crestSpacingMm: dimension,
  notchWidthMm: dimension,
})
const tibialSize = z.strictObject({
  size: z.number().int().min(1).max(99),
  overallMlMm: dimension,
  medialApMm: dimension,
  lateralApMm: dimension,
  trayMm: dimension,
  dwellSpacingMm: dimension,
  notchWidthMm: dimension,
  notchDepthMm: dimension,
  insertScale: dimension,
  insertCoronalRadiusMm: dimension,
  insertSagittalRadiusMm: dimension,
  lipMm: dimension,
})
const profileTable = z
  .array(z.tuple([z.number().min(-500).max(500), z.number().min(-500).max(500)]))
  .max(mostProfilePoints)
  .nullable()
const partialFemoralSize = z.strictObject({
  size: z.number().int().min(1).max(99),
  distalLengthMm: dimension,
  overallMlMm: dimension,
  distalMm: dimension,
  posteriorMm: dimension,
  distalRadiusMm: dimension,
  posteriorRadiusMm: dimension,
  condyleHeightMm: dimension,
  posteriorChamferMm: dimension,
  coronalRadiusMm: dimension,
})
const partialTibialSize = z.strictObject({
  size: z.number().int().min(1).max(99),
  overallApMm: dimension,
  overallMlMm: dimension,
  trayMm: dimension,
  insertCoronalRadiusMm: dimension,
  insertSagittalRadiusMm: dimension,
  lipMm: dimension,
})
const ownPartialFamily = z.strictObject({
  id: z.string().max(100),
  name: z.string().max(100),
  femoral: z.array(partialFemoralSize).max(99),
  tibial: z.array(partialTibialSize).max(99),
  insertsMm: z.array(dimension).max(99),
})
const ownTotalFamily = z.strictObject({
  id: z.string().max(100),
  name: z.string().max(100),
  bearing: z.enum(['fixed', 'mobile']),
  femoral: z.array(femoralSize).max(99),
  tibial: z.array(tibialSize).max(99),
  insertsMm: z.array(dimension).max(99),
})

const anyNumber = z.number().min(-1e9).max(1e9)
const savedStudy = z.strictObject({
  name: z.string().min(1).max(100),
  vary: z
    .array(z.strictObject({ path: z.enum(pathNames), from: anyNumber, to: anyNumber, step: anyNumber }))
    .min(1)
    .max(2),
  outputs: z.array(z.string().max(200)).max(40),
})

const caseSchema = z.strictObject({
  version: z.literal(3),
  name: z.string().max(200),
  side: z.enum(['left', 'right']).nullable(),
  procedure: z.enum(['total', 'medial-partial']),
  frame: z.enum(['lps', 'ras', 'unknown']),
  meshes: z.strictObject({ femur: meshReference, tibia: meshReference }),
  references: z.strictObject({
    femoralKneeCentre: z.enum(['notch', 'epicondyles']),
    femoralMedioLateral: z.enum(['posterior-condylar', 'epicondylar', 'condylar-cylinder']),
    tibialKneeCentre: z.enum(['spines', 'plateaus']),
    ankleCentre: z.enum(['plafond', 'malleoli']),
    tibialAnterior: z.enum(['pcl-tubercle', 'posterior-tangent', 'femoral']),
    plateauPoint: z.enum(['centroid', 'deepest']),
    slopeAxis: z.enum(['mechanical', 'proximal-shaft']),
    meshSurface: z.enum(['bone', 'cartilage']),
  }),
  landmarks: z.partialRecord(z.enum(landmarkIds), landmarkOverride),
  signedLandmarks: z
    .string()
    .regex(/^[0-9a-f]{8}$/)
    .nullable(),
  implants: z.strictObject({
    family: z.string().max(100),
    femurSize: numberOrNullAt('implants.femurSize'),
    tibiaSize: numberOrNullAt('implants.tibiaSize'),
    insertMm: numberOrNullAt('implants.insertMm'),
    own: z.union([ownTotalFamily, ownPartialFamily]).nullable(),
  }),
  recipe: z.enum(['mechanical', 'anatomic', 'kinematic', 'restricted']),
  recipeOptions: z.strictObject({
    mechanicalRotation: z.enum(['three-external', 'epicondylar']),
    slopeDeg: numberAt('recipeOptions.slopeDeg'),
    slopeReleased: z.boolean(),
    restrictedAnswer: z.enum(['rule-of-thumb', 'smallest']),
    kinematicFlexion: z.enum(['shaft', 'mechanical']),
    tibialDepthFrom: z.enum(['lateral', 'medial', 'mean']),
    femoralReferencing: z.enum(['posterior', 'anterior']),
  }),
  cuts: z.strictObject({
    tibia: z.strictObject({
      varusDeg: numberOrNullAt('cuts.tibia.varusDeg'),
      slopeDeg: numberOrNullAt('cuts.tibia.slopeDeg'),
      depthMm: numberOrNullAt('cuts.tibia.depthMm'),
      rotationDeg: numberOrNullAt('cuts.tibia.rotationDeg'),
      shiftLateralMm: numberOrNullAt('cuts.tibia.shiftLateralMm'),
      shiftAnteriorMm: numberOrNullAt('cuts.tibia.shiftAnteriorMm'),
      verticalMm: numberOrNullAt('cuts.tibia.verticalMm'),
    }),
    femur: z.strictObject({
      valgusDeg: numberOrNullAt('cuts.femur.valgusDeg'),
      flexionDeg: numberOrNullAt('cuts.femur.flexionDeg'),
      rotationDeg: numberOrNullAt('cuts.femur.rotationDeg'),
      distalMm: numberOrNullAt('cuts.femur.distalMm'),
      posteriorMm: numberOrNullAt('cuts.femur.posteriorMm'),
      shiftLateralMm: numberOrNullAt('cuts.femur.shiftLateralMm'),
    }),
    departures: z.strictObject({
      'femur-distal': departureOf('femur-distal'),
      'femur-anterior': departureOf('femur-anterior'),
      'femur-posterior': departureOf('femur-posterior'),
      'femur-chamfer-posterior': departureOf('femur-chamfer-posterior'),
      'femur-chamfer-anterior': departureOf('femur-chamfer-anterior'),
    }),
  }),
  wear: z.strictObject({
    medialMm: numberAt('wear.medialMm'),
    lateralMm: numberAt('wear.lateralMm'),
    posteriorMedialMm: numberOrNullAt('wear.posteriorMedialMm'),
    posteriorLateralMm: numberOrNullAt('wear.posteriorLateralMm'),
  }),
  cartilage: z.strictObject({ femurMm: numberAt('cartilage.femurMm'), tibiaMm: numberAt('cartilage.tibiaMm') }),
  saw: z.strictObject({
    kerfMm: numberAt('saw.kerfMm'),
    angleSdDeg: numberAt('saw.angleSdDeg'),
    depthSdMm: numberAt('saw.depthSdMm'),
  }),
  limits: z.strictObject({
    limbDeg: numberAt('limits.limbDeg'),
    jointLineLowDeg: numberAt('limits.jointLineLowDeg'),
    jointLineHighDeg: numberAt('limits.jointLineHighDeg'),
  }),
  stance: z.strictObject({
    pose: z.enum(['feet-together', 'natural', 'one-leg', 'own']),
    hipHalfSpacingMm: numberOrNullAt('stance.hipHalfSpacingMm'),
    ankleHalfSpacingMm: numberOrNullAt('stance.ankleHalfSpacingMm'),
    flexionDeg: numberAt('stance.flexionDeg'),
    footRotationDeg: numberAt('stance.footRotationDeg'),
    jlcaDeg: numberOrNullAt('stance.jlcaDeg'),
    other: z
      .strictObject({
        legLengthMm: z.number().min(200).max(1500),
        varusDeg: z.number().min(-45).max(45),
        hipHalfSpacingMm: z.number().min(20).max(200).nullable(),
        files: z.array(z.string().regex(/^[0-9a-f]{64}$/)).max(2),
      })
      .nullable(),
  }),
  load: z.strictObject({
    bodyMassKg: numberAt('load.bodyMassKg'),
    forceN: numberOrNullAt('load.forceN'),
    activity: z.enum(activities),
    ownLateralDeg: numberOrNullAt('load.ownLateralDeg'),
    ownForwardDeg: numberOrNullAt('load.ownForwardDeg'),
  }),
  bearing: z.strictObject({
    modulusMpa: numberAt('bearing.modulusMpa'),
    poisson: numberAt('bearing.poisson'),
    law: z.enum(['linear', 'logarithmic']),
    femoralCoronalRadiusMm: numberOrNullAt('bearing.femoralCoronalRadiusMm'),
    femoralSagittalRadiusMm: numberOrNullAt('bearing.femoralSagittalRadiusMm'),
    femoralEdgeAtMm: numberOrNullAt('bearing.femoralEdgeAtMm'),
    femoralEdgeRadiusMm: numberAt('bearing.femoralEdgeRadiusMm'),
    own: z.strictObject({
      femoralCoronal: profileTable,
      femoralSagittal: profileTable,
      insertCoronal: profileTable,
      insertSagittal: profileTable,
    }),
    insertCoronalRadiusMm: numberOrNullAt('bearing.insertCoronalRadiusMm'),
    insertSagittalRadiusMm: numberOrNullAt('bearing.insertSagittalRadiusMm'),
    femoralFlatMm: numberAt('bearing.femoralFlatMm'),
    flatInsert: z.boolean(),
    tiltDeg: numberOrNullAt('bearing.tiltDeg'),
    rotationDeg: numberOrNullAt('bearing.rotationDeg'),
    shiftLateralMm: numberOrNullAt('bearing.shiftLateralMm'),
  }),
  measured: z.strictObject({
    sdMm: numberAt('measured.sdMm'),
    pieceMm: z.partialRecord(z.enum([...siteIds, ...edgeReadingIds]), z.number().min(0).max(60)),
  }),
  anatomyLimits: z.strictObject({
    constitutionalDeg: numberAt('anatomyLimits.constitutionalDeg'),
    obliquityLowDeg: numberAt('anatomyLimits.obliquityLowDeg'),
    obliquityHighDeg: numberAt('anatomyLimits.obliquityHighDeg'),
    convergenceDeg: numberAt('anatomyLimits.convergenceDeg'),
    slopeLowDeg: numberAt('anatomyLimits.slopeLowDeg'),
    slopeHighDeg: numberAt('anatomyLimits.slopeHighDeg'),
    bowMm: numberAt('anatomyLimits.bowMm'),
    anteversionLowDeg: numberAt('anatomyLimits.anteversionLowDeg'),
    anteversionHighDeg: numberAt('anatomyLimits.anteversionHighDeg'),
    torsionLowDeg: numberAt('anatomyLimits.torsionLowDeg'),
    torsionHighDeg: numberAt('anatomyLimits.torsionHighDeg'),
    rotationDeg: numberAt('anatomyLimits.rotationDeg'),
  }),
  uncertainty: z.strictObject({
    meshAccuracyMm: numberAt('uncertainty.meshAccuracyMm'),
    sdMm: z.record(z.enum(landmarkIds), numberOrNullAt('uncertainty.sdMm.hipCentre')),
  }),
  studies: z.array(savedStudy).max(200),
  views: z.array(viewSchema).max(mostViews),
  lastView: viewSchema.nullable(),
  lessons: z.array(lessonSchema).max(50),
  seed: numberAt('seed'),
  notes: z.string().max(20_000),
})

/**
 * A case from parsed JSON of any version up to this program's: migrated, missing fields filled from a new case, then
 * checked field by field. Unknown fields, wrong types and values out of range are failures that name the field.
 */
export function parseCase(json: unknown): Result<CaseDocument> {
  const migrated = migrate(json)
  if (!migrated.ok) return migrated
  const parsed = caseSchema.safeParse(filled(newCase, migrated.value))
  if (!parsed.success) {
    const issue = parsed.error.issues[0]
    const place = issue ? issue.path.join('.') : null
    const unknown = issue?.code === 'unrecognized_keys'
    return fail(
      unknown
        ? 'case/unknown-path'
        : issue?.code === 'too_big' || issue?.code === 'too_small'
          ? 'case/out-of-range'
          : 'case/syntax',
      unknown
        ? `The case holds a field this program does not know: ${issue.keys.join(', ')}.`
        : `The case cannot be used: ${issue?.message ?? 'unknown reason'}.`,
      place ? { place } : {},
    )
  }
  const document: CaseDocument = parsed.data
  if (document.limits.jointLineLowDeg >= document.limits.jointLineHighDeg)
    return fail('case/out-of-range', 'The lower joint line limit must lie below the upper one.', {
      place: 'limits.jointLineLowDeg',
    })
  for (const [name, table] of Object.entries(document.bearing.own)) {
    const checked = table === null ? ok(null) : checkedTable(table, `bearing.own.${name}`)
    if (!checked.ok) return checked
  }
  return ok(document)
}

/** A case from the text of `case.json`. */
export function parseCaseText(text: string): Result<CaseDocument> {
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch (error) {
    return fail('case/syntax', 'The case is not valid JSON.', {
      place: error instanceof Error ? error.message : 'case.json',
    })
  }
  return parseCase(json)
}

/** The text of `case.json`: stable key order, two spaces, a newline at the end. */
export const caseText = (document: CaseDocument): string =>
  `${JSON.stringify({ ...document, version: currentVersion }, null, 2)}\n`

function filled(defaults: unknown, given: unknown): unknown {
  if (!isRecord(defaults) || !isRecord(given)) return given === undefined ? defaults : given
  const keys = new Set([...Object.keys(defaults), ...Object.keys(given)])
  return Object.fromEntries([...keys].map((key) => [key, filled(defaults[key], given[key])]))
}

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
