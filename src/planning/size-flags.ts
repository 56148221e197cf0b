import type { AnatomyFlag } from '../anatomy/flags.ts'
import { type OwnFamily, partialFamily, totalFamily } from '../implants/families.ts'
import { allowedNotchMm } from './fit-femoral.ts'
import { allowedOverhangMm } from './place-tray.ts'
import type { Plan } from './planned.ts'
import { departs } from './terms.ts'

/** Below this share of the cut covered by the largest tray the bone counts as larger than the family. */
const leastCover = 0.75
/** A flange of the smallest size that stands this far off the cortex shows a femur smaller than the family, mm. */
const proudMm = 3

/**
 * Flags of bones that no size of the family fits, told by what the first or last size does on them: overhang or bare bone of the
 * tray, notch or stand-off of the flange. Only sizes that were proposed are judged; one that was chosen is the user's own.
 */
export function sizeFlags(plan: Plan, own: OwnFamily | null): readonly AnatomyFlag[] {
  const { implants, coverage, consequences, procedure } = plan
  const family = procedure === 'total' ? totalFamily(implants.family, own) : partialFamily(implants.family, own)
  if (!family.ok) return []
  const first = (sizes: readonly { readonly size: number }[], size: number) => sizes[0]?.size === size
  const last = (sizes: readonly { readonly size: number }[], size: number) => sizes.at(-1)?.size === size
  const flags: AnatomyFlag[] = []
  const basis = 'our rule, no source; by the family in use'
  if (implants.tibiaSizeSource === 'proposed' && coverage) {
    const tooSmall = first(family.value.tibial, implants.tibiaSize) && coverage.largestOverhangMm > allowedOverhangMm
    const tooLarge = last(family.value.tibial, implants.tibiaSize) && coverage.fraction < leastCover
    if (tooSmall || tooLarge)
      flags.push({
        id: 'tibial-size',
        value: tooSmall ? coverage.largestOverhangMm : coverage.largestGapMm,
        unit: 'mm',
        low: null,
        high: tooSmall ? allowedOverhangMm : null,
        path: tooSmall ? 'coverage.largestOverhangMm' : 'coverage.largestGapMm',
        message: tooSmall
          ? 'The tibia is smaller than the family: the smallest tray overhangs.'
          : 'The tibia is larger than the family: the largest tray leaves much of the cut bare.',
        changes: tooSmall
          ? 'Overhang irritates soft tissue; coverage and pressure under the tray are those of a tray that does not fit.'
          : 'Load reaches the rim less; pressure under the tray is that of a tray too small for the bone.',
        basis,
        doubt: null,
      })
  }
  const sawnOnFace = plan.cuts.every(({ departure }) => departure === null || !departs(departure))
  const notch = sawnOnFace ? consequences.notchMm : null
  if (procedure === 'total' && implants.femurSizeSource === 'proposed' && notch !== null) {
    const tooLarge = last(family.value.femoral, implants.femurSize) && notch > allowedNotchMm
    const tooSmall = first(family.value.femoral, implants.femurSize) && notch < -proudMm
    if (tooSmall || tooLarge)
      flags.push({
        id: 'femoral-size',
        value: notch,
        unit: 'mm',
        low: -proudMm,
        high: allowedNotchMm,
        path: 'consequences.notchMm',
        message: tooSmall
          ? 'The femur is smaller than the family: the flange of the smallest component stands off the cortex.'
          : 'The femur is larger than the family: even the largest component notches the cortex.',
        changes: tooSmall
          ? 'The front of the knee is overfilled and the posterior cut is not the component’s own.'
          : 'The anterior cut weakens the cortex or the posterior gap widens.',
        basis,
        doubt: null,
      })
  }
  return flags
}
