import type { BoneName } from '../../anatomy/terms.ts'
import type { Findings } from '../../findings.ts'
import type { SiteId } from '../../planning/terms.ts'
import { boundBeside } from '../../report/bounded.ts'
import type { PoseName } from '../../stance/terms.ts'
import { formatBounded, formatQuantity, type Quantity } from '../text/format.ts'
import { notThere, poseLabels, siteLabels } from '../text/messages.ts'

export interface ComparisonRow {
  readonly label: string
  /** Parted from what is above it. */
  readonly begins?: boolean
  readonly read: (findings: Findings) => string
}

/** What the comparison shows, in the order of the ledger: removed, aligned, stands. */
export function comparisonRows(pose: PoseName): readonly ComparisonRow[] {
  const number = (
    label: string,
    quantity: Quantity,
    read: (findings: Findings) => number | null | undefined,
    more: { readonly begins?: boolean; readonly signed?: boolean } = {},
  ): ComparisonRow => ({
    label,
    ...(more.begins ? { begins: true } : {}),
    read: (findings) => {
      const value = read(findings)
      return value === null || value === undefined
        ? notThere
        : formatQuantity(value, quantity, { signed: more.signed ?? false })
    },
  })
  const site = (id: SiteId): ComparisonRow =>
    number(`${siteLabels[id]}, difference`, 'mm', (f) => f.sites.find((s) => s.id === id)?.differenceMm, {
      signed: true,
    })
  const standing = (f: Findings) => f.stance.find((stance) => stance.pose === pose)
  const load = (f: Findings, direction: string) => f.loading.find((l) => l.pose === pose && l.direction === direction)
  return [
    { label: 'Bone removed, femur', read: (f) => removedWords(f, 'femur') },
    { label: 'Bone removed, tibia', read: (f) => removedWords(f, 'tibia') },
    ...(
      [
        'femur-distal-medial',
        'femur-distal-lateral',
        'femur-posterior-medial',
        'femur-posterior-lateral',
        'tibia-medial',
        'tibia-lateral',
      ] as const
    ).map(site),
    number('LDFA', 'deg', (f) => f.after.ldfaDeg, { begins: true }),
    number('MPTA', 'deg', (f) => f.after.mptaDeg),
    number('HKA', 'deg', (f) => f.after.hkaDeg),
    number('Slope', 'deg', (f) => f.after.slopeDeg),
    {
      label: 'Entered limits',
      read: (f) => {
        const beyond = f.limits.filter((limit) => limit.status === 'beyond').length
        return beyond === 0 ? 'inside' : `▲ ${beyond} beyond`
      },
    },
    number(`Tray to floor, ${poseLabels[pose].toLowerCase()}`, 'deg', (f) => standing(f)?.trayToFloorCoronalDeg, {
      begins: true,
    }),
    number('Tray to floor, front to back', 'deg', (f) => standing(f)?.trayToFloorSagittalDeg),
    number('Shear, vertical load', 'ratio', (f) => load(f, 'vertical')?.shearToCompression),
    number('Shear, along the tibia', 'ratio', (f) => load(f, 'tibial-axis')?.shearToCompression),
    number('Rim distance, medial', 'mm', (f) => load(f, 'vertical')?.bearing?.medial?.edgeDistanceMm),
    number('Rim distance, lateral', 'mm', (f) => load(f, 'vertical')?.bearing?.lateral?.edgeDistanceMm),
  ]
}

/** With its bound where the bone is open. */
function removedWords(findings: Findings, bone: BoneName): string {
  const mm3 = findings.volumes[`${bone}RemovedMm3`]
  if (mm3 === null) return notThere
  const bound = boundBeside(findings, bone, findings.volumes[`${bone}RemovedBoundMm3`])
  return bound === undefined ? formatQuantity(mm3, 'cm3') : formatBounded(mm3, 'cm3', bound)
}
