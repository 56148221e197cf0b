import type { Findings } from '../findings.ts'
import type { CutId } from '../planning/terms.ts'
import { type Quantity, shownWithUnit } from './numbers.ts'
import { cutWords, limitNames, poseWords, siteWords } from './words.ts'

/** One thing that a cut is held against. */
export interface ScoreLine {
  readonly what: string
  readonly own: string
  readonly rule: string
  readonly held: boolean
  /** Why it counts, in a sentence. */
  readonly reason: string
}

export interface OwnCutScore {
  readonly held: number
  readonly lines: readonly ScoreLine[]
}

/** What one sawing may miss by, 1 SD, as the case has it entered. */
export interface SawSd {
  readonly angleSdDeg: number
  readonly depthSdMm: number
}

/** Stable paths that a trainee may be asked for, and where the findings have them. */
const fields: Readonly<Record<string, readonly [CutId, FieldKey, string, Quantity]>> = {
  'cuts.tibia.varusDeg': ['tibia', 'varusDeg', 'varus', 'deg'],
  'cuts.tibia.slopeDeg': ['tibia', 'slopeDeg', 'slope', 'deg'],
  'cuts.tibia.depthMm': ['tibia', 'depthMm', 'depth', 'mm'],
  'cuts.femur.valgusDeg': ['femur-distal', 'valgusDeg', 'valgus', 'deg'],
  'cuts.femur.flexionDeg': ['femur-distal', 'flexionDeg', 'flexion', 'deg'],
  'cuts.femur.distalMm': ['femur-distal', 'depthMm', 'depth', 'mm'],
  'cuts.femur.rotationDeg': ['femur-posterior', 'externalRotationDeg', 'external rotation', 'deg'],
}
type FieldKey = 'varusDeg' | 'slopeDeg' | 'depthMm' | 'valgusDeg' | 'flexionDeg' | 'externalRotationDeg'

/** The stable paths that `scoreOwnCut` can hold against a rule. */
export const ownCutPaths: readonly string[] = Object.keys(fields)

/**
 * A trainee's own cut against what the rule (the case without it) gives on the same knee. Each entered number is held when
 * it lies within two standard deviations of the entered saw error of the rule's; each site of the touched bones when taken
 * and put back agree within ±0.5 mm (common practice, no source); each limit when it is not left where the rule kept it.
 * The tray's tilt to the floor is told for the shown pose. Unknown paths and withheld numbers give no line.
 */
export function scoreOwnCut(
  rule: Findings,
  own: Findings,
  paths: readonly string[],
  saw: SawSd,
  pose: Findings['stance'][number]['pose'],
): OwnCutScore {
  const lines = [
    ...paths.flatMap((path) => fieldLine(rule, own, path, saw)),
    ...siteLines(rule, own, paths),
    ...limitLines(rule, own),
    ...tiltLine(rule, own, pose),
  ]
  return { held: lines.filter((line) => line.held).length, lines }
}

function fieldLine(rule: Findings, own: Findings, path: string, saw: SawSd): readonly ScoreLine[] {
  const field = fields[path]
  if (!field) return []
  const [id, key, word, quantity] = field
  const asked = rule.cuts.find((cut) => cut.id === id)?.[key] ?? null
  const given = own.cuts.find((cut) => cut.id === id)?.[key] ?? null
  if (asked === null || given === null) return []
  const spread = 2 * (quantity === 'deg' ? saw.angleSdDeg : saw.depthSdMm)
  const off = given - asked
  const held = Math.abs(off) <= spread
  const room = `what a saw misses by anyway (two standard deviations, ${shownWithUnit(spread, quantity)})`
  return [
    {
      what: `${cutWords[id]}, ${word}`,
      own: shownWithUnit(given, quantity),
      rule: shownWithUnit(asked, quantity),
      held,
      reason: held ? `Within ${room}.` : `${shownWithUnit(off, quantity, true)} off: beyond ${room}.`,
    },
  ]
}

function siteLines(rule: Findings, own: Findings, paths: readonly string[]): readonly ScoreLine[] {
  const bones = ['tibia', 'femur'].filter((bone) => paths.some((path) => path.startsWith(`cuts.${bone}.`)))
  return own.sites
    .filter(({ id }) => bones.some((bone) => id.startsWith(bone)))
    .map((site) => {
      const asked = rule.sites.find(({ id }) => id === site.id)
      const { differenceMm: off } = site
      const amount = shownWithUnit(Math.abs(off), 'mm')
      return {
        what: `${siteWords[site.id]}: taken − put back`,
        own: shownWithUnit(off, 'mm', true),
        rule: shownWithUnit(asked?.differenceMm ?? null, 'mm', true),
        held: site.within,
        reason: site.within
          ? 'As much is put back as is taken, within 0.5 mm.'
          : off > 0
            ? `${amount} more is taken than the component puts back: the joint line moves into the bone here.`
            : `${amount} less is taken than the component puts back: the joint is overfilled here.`,
      }
    })
}

function limitLines(rule: Findings, own: Findings): readonly ScoreLine[] {
  return own.limits.flatMap((limit) => {
    const asked = rule.limits.find(({ id }) => id === limit.id)
    if (!asked || limit.value === null || asked.value === null || limit.status === asked.status) return []
    const held = limit.status === 'inside'
    const range = `${shownWithUnit(limit.low, 'deg')} … ${shownWithUnit(limit.high, 'deg')}`
    return [
      {
        what: `Limit on ${limitNames[limit.id] ?? limit.id}`,
        own: shownWithUnit(limit.value, 'deg'),
        rule: shownWithUnit(asked.value, 'deg'),
        held,
        reason: held ? `Inside the entered limit ${range}.` : `Leaves the entered limit ${range}.`,
      },
    ]
  })
}

/** Told, and held when it is no farther from level than the rule's own by more than a degree: below that nobody sees it. */
function tiltLine(rule: Findings, own: Findings, pose: string): readonly ScoreLine[] {
  const tilt = (findings: Findings) => findings.stance.find((stance) => stance.pose === pose)
  const [given, asked] = [tilt(own), tilt(rule)]
  if (!given || !asked) return []
  const off = Math.abs(given.trayToFloorCoronalDeg) - Math.abs(asked.trayToFloorCoronalDeg)
  return [
    {
      what: `Tray to floor, side to side (${poseWords[given.pose]})`,
      own: shownWithUnit(given.trayToFloorCoronalDeg, 'deg', true),
      rule: shownWithUnit(asked.trayToFloorCoronalDeg, 'deg', true),
      held: off <= 1,
      reason:
        off <= 1
          ? 'No farther from level than the rule’s own cut. Level is no proof of a better cut.'
          : `${shownWithUnit(off, 'deg')} farther from level than the rule’s own cut, in this pose.`,
    },
  ]
}
