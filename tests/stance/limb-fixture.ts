import type { Side } from '../../src/anatomy/terms.ts'
import type { Limb } from '../../src/stance/stand-leg.ts'

/** A straight limb whose hip and ankle lie on the long axes of their bones. mm and degrees. */
export function limb(side: Side, varusDeg: number, change: Partial<Limb> = {}): Limb {
  return {
    side,
    hipInFemur: [0, 430, 0],
    ankleInTibia: [0, -370, 0],
    varusDeg,
    flexionDeg: 0,
    externalRotationDeg: 0,
    ...change,
  }
}
