import type { Findings } from '../findings.ts'
import type { Quantity } from './numbers.ts'

/** One angle or length before and after, with the findings paths it comes from. */
export interface AlignedRow {
  readonly words: string
  readonly quantity: Quantity
  readonly native: number | null
  readonly nativePath: string
  readonly planned: number | null
  readonly plannedPath: string
}

/** Native beside planned: the two columns of ledger, report and command line. */
export function alignedRows({ angles, after }: Findings): readonly AlignedRow[] {
  const row = (
    words: string,
    native: readonly [number | null, string],
    planned: readonly [number | null, string],
    quantity: Quantity = 'deg',
  ): AlignedRow => ({
    words,
    quantity,
    native: native[0],
    nativePath: native[1],
    planned: planned[0],
    plannedPath: planned[1],
  })
  const none = [null, ''] as const
  return [
    row('HKA (below 180 = varus)', [angles.hkaDeg, 'angles.hkaDeg'], [after.hkaDeg, 'after.hkaDeg']),
    row(
      'HKA arithmetic (MPTA − LDFA)',
      [angles.arithmeticHkaDeg, 'angles.arithmeticHkaDeg'],
      [after.mptaDeg - after.ldfaDeg, 'after'],
    ),
    row('LDFA', [angles.ldfaDeg, 'angles.ldfaDeg'], [after.ldfaDeg, 'after.ldfaDeg']),
    row('MPTA', [angles.mptaDeg, 'angles.mptaDeg'], [after.mptaDeg, 'after.mptaDeg']),
    row(
      'Joint line obliquity (MPTA + LDFA)',
      [angles.jointLineObliquityDeg, 'angles.jointLineObliquityDeg'],
      [after.mptaDeg + after.ldfaDeg, 'after'],
    ),
    row('Joint line convergence', [angles.jlcaDeg, 'angles.jlcaDeg'], none),
    row('Slope, medial', [angles.slopeMedialDeg, 'angles.slopeMedialDeg'], [after.slopeDeg, 'after.slopeDeg']),
    row('Slope, lateral', [angles.slopeLateralDeg, 'angles.slopeLateralDeg'], [after.slopeDeg, 'after.slopeDeg']),
    row(
      'Joint line shift, medial (proximal +)',
      none,
      [after.jointLineShiftMedialMm, 'after.jointLineShiftMedialMm'],
      'mm',
    ),
    row(
      'Joint line shift, lateral (proximal +)',
      none,
      [after.jointLineShiftLateralMm, 'after.jointLineShiftLateralMm'],
      'mm',
    ),
  ]
}
