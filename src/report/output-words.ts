import type { SiteId } from '../planning/terms.ts'
import type { PoseName } from '../stance/terms.ts'
import type { Quantity } from './numbers.ts'
import { directionWords, poseWords, siteWords } from './words.ts'

const named: Readonly<Record<string, string>> = {
  axial: 'Axial force',
  lateral: 'Force, lateral',
  anterior: 'Force, anterior',
  atLateral: 'Place of the force, lateral',
  flexion: 'Knee flexion',
  medialShare: 'Medial share',
  interfacePeak: 'Under the tray, peak',
  interfaceLiftOffShare: 'Tray lifted off',
  'after.hkaDeg': 'HKA',
  'after.ldfaDeg': 'LDFA',
  'after.mptaDeg': 'MPTA',
  'after.slopeDeg': 'Slope',
  'after.legLengthMm': 'Leg length',
  'after.jointLineShiftMedialMm': 'Femoral joint line shift, medial',
  'after.jointLineShiftLateralMm': 'Femoral joint line shift, lateral',
  'consequences.legLengthChangeMm': 'Leg length, change',
  'consequences.tibialShiftMedialMm': 'Tibial surface shift, medial',
  'consequences.tibialShiftLateralMm': 'Tibial surface shift, lateral',
  'consequences.posteriorOffsetChangeMedialMm': 'Posterior offset, change, medial',
  'consequences.posteriorOffsetChangeLateralMm': 'Posterior offset, change, lateral',
  'consequences.notchMm': 'Anterior notch',
  'volumes.femurRemovedMm3': 'Bone removed, femur',
  'volumes.tibiaRemovedMm3': 'Bone removed, tibia',
  'volumes.femurRemovedBoundMm3': 'Bone removed, femur, bound',
  'volumes.tibiaRemovedBoundMm3': 'Bone removed, tibia, bound',
  limitsBeyond: 'Limits beyond',
  warnings: 'Warnings',
  'coverage.fraction': 'Section covered',
  'coverage.largestOverhangMm': 'Largest overhang',
  'coverage.largestGapMm': 'Largest uncovered rim',
  'implants.femurSize': 'Femoral size',
  'implants.tibiaSize': 'Tibial size',
  'implants.insertMm': 'Insert',
  'gaps.slackMm.extensionMedial': 'Slack, straight, medial',
  'gaps.slackMm.extensionLateral': 'Slack, straight, lateral',
  'gaps.slackMm.flexionMedial': 'Slack, bent, medial',
  'gaps.slackMm.flexionLateral': 'Slack, bent, lateral',
}

const standing: Readonly<Record<string, string>> = {
  trayToFloorCoronalDeg: 'Tray to floor, side to side',
  trayToFloorSagittalDeg: 'Tray to floor, front to back',
  trayToFloorDeg: 'Tray to floor, total',
  jointLineToFloorBeforeDeg: 'Native joint line to floor',
  legLeanDeg: 'Leg lean',
  tibiaLeanDeg: 'Tibial lean',
  tibiaLeanBeforeDeg: 'Tibial lean before',
}

const loading: Readonly<Record<string, string>> = {
  loadN: 'Load',
  compressionN: 'Compression',
  shearN: 'Shear',
  shearToCompression: 'Shear to compression',
  shearCoronal: 'Shear, side to side',
  shearSagittal: 'Shear, front to back',
  medialShare: 'Medial share',
  interfacePeakMpa: 'Under the tray, peak',
  liftOffShare: 'Tray lifted off',
  peakMpa: 'Bearing peak',
  hertzPeakMpa: 'Half-space peak',
  meanMpa: 'Bearing mean',
  areaMm2: 'Contact area',
  edgeDistanceMm: 'Rim distance',
  outerTenthShare: 'Load in the outer tenth',
  truncatedShare: 'Patch cut by the rim',
  edgeLoaded: 'Edge loaded',
}

/** An output of a study in the trade's words; an unknown name stays as it is. */
export function outputWords(name: string): string {
  const known = named[name]
  if (known) return known
  const parts = name.split('.')
  if (parts.length === 2 && (parts[0] === 'medial' || parts[0] === 'lateral') && loading[parts[1] ?? ''])
    return `${loading[parts[1] ?? '']}, ${parts[0]}`
  const last = parts.at(-1) ?? ''
  if (parts[0] === 'sites' && parts[1]) {
    const what = { differenceMm: 'difference', pieceMm: 'piece' }[last] ?? last
    return `${siteWords[parts[1] as SiteId] ?? parts[1]}, ${what}`
  }
  if (parts[0] === 'stance' && standing[last]) {
    const pose = parts.length > 2 ? `, ${poseWords[parts[1] as PoseName] ?? parts[1]}` : ''
    return `${standing[last]}${pose}`
  }
  if (parts[0] === 'loading' && loading[last]) {
    const middle = parts
      .slice(1, -1)
      .filter((part) => part !== 'interface')
      .map((part) => poseWords[part as PoseName] ?? directionWords[part as keyof typeof directionWords] ?? part)
    return `${loading[last]}, ${middle.join(', ')}`
  }
  return name
}

/** How an output is rounded and what stands behind it; null: a count. */
export function outputQuantity(name: string, unit: string): Quantity | null {
  if (unit === 'mm3') return 'cm3'
  if (unit === 'deg' || unit === 'mm' || unit === 'mm2' || unit === 'N') return unit
  if (unit === 'MPa') return 'MPa'
  if (/(Share|fraction)$/.test(name)) return 'percent'
  return /(shear|Compression)/.test(name) ? 'ratio' : null
}
