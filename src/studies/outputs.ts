import type { Findings } from '../findings.ts'
import type { LoadDirection } from '../loading/loads.ts'
import type { SiteId } from '../planning/terms.ts'
import { type PoseName, poseNames } from '../stance/terms.ts'

/** One number of the findings as a column. */
export interface Output {
  readonly name: string
  readonly unit: string
  readonly of: (findings: Findings, pose: PoseName) => number | null
}

/** Columns of studies and batches: the pose is the one the case shows, its name stands in the head of the table. */
export const outputs: readonly Output[] = [
  angle('after.hkaDeg', (f) => f.after.hkaDeg),
  angle('after.ldfaDeg', (f) => f.after.ldfaDeg),
  angle('after.mptaDeg', (f) => f.after.mptaDeg),
  angle('after.slopeDeg', (f) => f.after.slopeDeg),
  ...sites('differenceMm'),
  ...sites('pieceMm'),
  { name: 'volumes.femurRemovedMm3', unit: 'mm3', of: (f) => f.volumes.femurRemovedMm3 },
  { name: 'volumes.tibiaRemovedMm3', unit: 'mm3', of: (f) => f.volumes.tibiaRemovedMm3 },
  { name: 'volumes.femurRemovedBoundMm3', unit: 'mm3', of: (f) => f.volumes.femurRemovedBoundMm3 },
  { name: 'volumes.tibiaRemovedBoundMm3', unit: 'mm3', of: (f) => f.volumes.tibiaRemovedBoundMm3 },
  { name: 'limitsBeyond', unit: 'count', of: (f) => f.limits.filter((limit) => limit.status === 'beyond').length },
  standing('tibiaLeanBeforeDeg'),
  standing('tibiaLeanDeg'),
  standing('legLeanDeg'),
  standing('jointLineToFloorBeforeDeg'),
  standing('trayToFloorCoronalDeg'),
  standing('trayToFloorSagittalDeg'),
  standing('trayToFloorDeg'),
  ...loaded('vertical'),
  ...loaded('tibial-axis'),
  { name: 'after.jointLineShiftMedialMm', unit: 'mm', of: (f) => f.after.jointLineShiftMedialMm },
  { name: 'after.jointLineShiftLateralMm', unit: 'mm', of: (f) => f.after.jointLineShiftLateralMm },
  { name: 'after.legLengthMm', unit: 'mm', of: (f) => f.after.legLengthMm },
  ...consequences(),
  { name: 'coverage.fraction', unit: '', of: (f) => f.coverage?.fraction ?? null },
  { name: 'coverage.largestOverhangMm', unit: 'mm', of: (f) => f.coverage?.largestOverhangMm ?? null },
  { name: 'coverage.largestGapMm', unit: 'mm', of: (f) => f.coverage?.largestGapMm ?? null },
  ...slacks(),
]

/** Tilt and shear in every pose, whichever the case shows: for the comparison of recipes. */
export const poseOutputs: readonly Output[] = poseNames.flatMap((pose) => [
  {
    name: `stance.${pose}.trayToFloorCoronalDeg`,
    unit: 'deg',
    of: (f: Findings) => f.stance.find((s) => s.pose === pose)?.trayToFloorCoronalDeg ?? null,
  },
  {
    name: `stance.${pose}.trayToFloorDeg`,
    unit: 'deg',
    of: (f: Findings) => f.stance.find((s) => s.pose === pose)?.trayToFloorDeg ?? null,
  },
  ...(['vertical', 'tibial-axis'] as const).map((direction) => ({
    name: `loading.${pose}.${direction}.shearToCompression`,
    unit: '',
    of: (f: Findings) =>
      f.loading.find((l) => l.pose === pose && l.direction === direction)?.shearToCompression ?? null,
  })),
])

/** Native angles, which do not change along a sweep but differ from knee to knee. */
export const nativeOutputs: readonly Output[] = [
  angle('angles.hkaDeg', (f) => f.angles.hkaDeg),
  angle('angles.ldfaDeg', (f) => f.angles.ldfaDeg),
  angle('angles.mptaDeg', (f) => f.angles.mptaDeg),
  angle('angles.jlcaDeg', (f) => f.angles.jlcaDeg),
  angle('angles.slopeMedialDeg', (f) => f.angles.slopeMedialDeg),
  angle('angles.slopeLateralDeg', (f) => f.angles.slopeLateralDeg),
  { name: 'bones.femur.volumeMm3', unit: 'mm3', of: (f) => f.bones.femur.volumeMm3 },
  { name: 'bones.tibia.volumeMm3', unit: 'mm3', of: (f) => f.bones.tibia.volumeMm3 },
  { name: 'bones.femur.volumeBoundMm3', unit: 'mm3', of: (f) => f.bones.femur.volumeBoundMm3 },
  { name: 'bones.tibia.volumeBoundMm3', unit: 'mm3', of: (f) => f.bones.tibia.volumeBoundMm3 },
  { name: 'implants.femurSize', unit: '', of: (f) => f.implants.femurSize },
  { name: 'implants.tibiaSize', unit: '', of: (f) => f.implants.tibiaSize },
  { name: 'implants.insertMm', unit: 'mm', of: (f) => f.implants.insertMm },
  { name: 'warnings', unit: 'count', of: (f) => f.warnings.length },
]

function consequences(): Output[] {
  const keys = [
    'legLengthChangeMm',
    'tibialShiftMedialMm',
    'tibialShiftLateralMm',
    'posteriorOffsetChangeMedialMm',
    'posteriorOffsetChangeLateralMm',
    'notchMm',
  ] as const
  return keys.map((key) => ({ name: `consequences.${key}`, unit: 'mm', of: (f) => f.consequences[key] }))
}

function slacks(): Output[] {
  const keys = ['extensionMedial', 'extensionLateral', 'flexionMedial', 'flexionLateral'] as const
  return keys.map((key) => ({ name: `gaps.slackMm.${key}`, unit: 'mm', of: (f) => f.gaps?.slackMm[key] ?? null }))
}

function angle(name: string, of: (findings: Findings) => number | null): Output {
  return { name, unit: 'deg', of }
}

function sites(key: 'differenceMm' | 'pieceMm'): Output[] {
  const ids: readonly SiteId[] = [
    'tibia-medial',
    'tibia-lateral',
    'femur-distal-medial',
    'femur-distal-lateral',
    'femur-posterior-medial',
    'femur-posterior-lateral',
  ]
  return ids.map((id) => ({
    name: `sites.${id}.${key}`,
    unit: 'mm',
    of: (f) => f.sites.find((site) => site.id === id)?.[key] ?? null,
  }))
}

type StandingAngle = Extract<keyof Findings['stance'][number], `${string}Deg`>

function standing(key: StandingAngle): Output {
  return {
    name: `stance.${key}`,
    unit: 'deg',
    of: (f, pose) => f.stance.find((s) => s.pose === pose)?.[key] ?? null,
  }
}

function loaded(direction: LoadDirection): Output[] {
  const load = (f: Findings, pose: PoseName) => f.loading.find((l) => l.pose === pose && l.direction === direction)
  const at = `loading.${direction}`
  const plain = (
    key:
      | 'loadN'
      | 'compressionN'
      | 'shearN'
      | 'shearToCompression'
      | 'shearCoronal'
      | 'shearSagittal'
      | 'medialShare'
      | 'interfacePeakMpa',
    unit: string,
  ): Output => ({ name: `${at}.${key}`, unit, of: (f, pose) => load(f, pose)?.[key] ?? null })
  const contact = (
    side: 'medial' | 'lateral',
    key:
      | 'loadN'
      | 'peakMpa'
      | 'hertzPeakMpa'
      | 'meanMpa'
      | 'areaMm2'
      | 'edgeDistanceMm'
      | 'outerTenthShare'
      | 'truncatedShare',
    unit: string,
  ): Output => ({
    name: `${at}.${side}.${key}`,
    unit,
    of: (f, pose) => load(f, pose)?.bearing?.[side]?.[key] ?? null,
  })
  const edge = (side: 'medial' | 'lateral'): Output => ({
    name: `${at}.${side}.edgeLoaded`,
    unit: '0 or 1',
    of: (f, pose) => {
      const condyle = load(f, pose)?.bearing?.[side]
      return condyle ? Number(condyle.edgeLoaded) : null
    },
  })
  return [
    plain('loadN', 'N'),
    plain('compressionN', 'N'),
    plain('shearN', 'N'),
    plain('shearToCompression', ''),
    plain('shearCoronal', ''),
    plain('shearSagittal', ''),
    plain('medialShare', ''),
    plain('interfacePeakMpa', 'MPa'),
    {
      name: `${at}.interface.liftOffShare`,
      unit: '',
      of: (f, pose) => load(f, pose)?.interface?.liftOffShare ?? null,
    },
    ...(['medial', 'lateral'] as const).flatMap((side) => [
      contact(side, 'loadN', 'N'),
      contact(side, 'peakMpa', 'MPa'),
      contact(side, 'hertzPeakMpa', 'MPa'),
      contact(side, 'meanMpa', 'MPa'),
      contact(side, 'areaMm2', 'mm2'),
      contact(side, 'edgeDistanceMm', 'mm'),
      contact(side, 'outerTenthShare', ''),
      contact(side, 'truncatedShare', ''),
      edge(side),
    ]),
  ]
}
