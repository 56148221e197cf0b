import type { Findings } from '../../findings.ts'
import type { Limit } from '../../planning/planned.ts'

/** One angle before and after, where it stands in the findings, and the scale it is drawn on. */
export interface AlignedRow {
  readonly label: string
  readonly meaning: string
  readonly native: number | null
  readonly planned: number | null
  readonly nativePath: string
  readonly plannedPath: string
  readonly from: number
  readonly to: number
  readonly low: number | null
  readonly high: number | null
  readonly status: Limit['status'] | null
}

/** The ledger's rows; without findings every number is null. */
export function alignedRows(findings: Findings | null): readonly AlignedRow[] {
  const angles = findings?.angles
  const after = findings?.after
  const limits = findings?.limits ?? []
  const rows: readonly Omit<AlignedRow, 'low' | 'high' | 'status'>[] = [
    {
      label: 'LDFA',
      meaning: 'Lateral distal femoral angle: joint line against the femur’s mechanical axis',
      native: angles?.ldfaDeg ?? null,
      planned: after?.ldfaDeg ?? null,
      nativePath: 'angles.ldfaDeg',
      plannedPath: 'after.ldfaDeg',
      from: 80,
      to: 100,
    },
    {
      label: 'MPTA',
      meaning: 'Medial proximal tibial angle: joint line against the tibia’s mechanical axis',
      native: angles?.mptaDeg ?? null,
      planned: after?.mptaDeg ?? null,
      nativePath: 'angles.mptaDeg',
      plannedPath: 'after.mptaDeg',
      from: 80,
      to: 100,
    },
    {
      label: 'HKA',
      meaning: 'Hip–knee–ankle angle: 180 is straight, less is varus',
      native: angles?.hkaDeg ?? null,
      planned: after?.hkaDeg ?? null,
      nativePath: 'angles.hkaDeg',
      plannedPath: 'after.hkaDeg',
      from: 170,
      to: 190,
    },
    {
      label: 'Slope',
      meaning: 'Posterior slope, medial plateau before, cut after',
      native: angles?.slopeMedialDeg ?? null,
      planned: after?.slopeDeg ?? null,
      nativePath: 'angles.slopeMedialDeg',
      plannedPath: 'after.slopeDeg',
      from: -5,
      to: 15,
    },
  ]
  return rows.map((row) => {
    const limit = limits.find((l) => l.id.toLowerCase().includes(row.label.toLowerCase()))
    return { ...row, low: limit?.low ?? null, high: limit?.high ?? null, status: limit?.status ?? null }
  })
}
