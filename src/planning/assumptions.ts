import { toleranceMm } from './bookkeeping.ts'
import { allowedNotchMm } from './fit-femoral.ts'
import { allowedOverhangMm } from './place-tray.ts'
import type { Assumption } from './planned.ts'
import type { PlanChoices } from './terms.ts'

/** What the plan takes for granted under these choices. */
export function planAssumptions(choices: PlanChoices): readonly Assumption[] {
  const mm = (value: number) => `${value.toFixed(1)} mm`
  const { posteriorMedialMm, posteriorLateralMm } = choices.wear
  const own = (value: number | null) => (value === null ? 'as their compartment' : mm(value))
  const posterior = `medial ${own(posteriorMedialMm)}, lateral ${own(posteriorLateralMm)}`
  return [
    { what: 'Saw kerf', value: mm(choices.saw.kerfMm), basis: 'assumed; common practice 1.0–1.3 mm, editable' },
    {
      what: 'Intact cartilage',
      value: `femur ${mm(choices.cartilage.femurMm)}, tibia ${mm(choices.cartilage.tibiaMm)}`,
      basis: 'assumed, editable; 1.5–5 mm seen in single knees',
    },
    {
      what: 'Wear',
      value: `medial ${mm(choices.wear.medialMm)}, lateral ${mm(choices.wear.lateralMm)}; posterior condyles ${posterior}`,
      basis: 'entered; taken for plateau and distal condyle of that compartment alike',
    },
    {
      what: 'Surface of the meshes',
      value: choices.meshSurface,
      basis: 'declared, not recognised',
    },
    { what: 'Site tolerance', value: `±${toleranceMm} mm`, basis: 'common practice, no source' },
    {
      what: 'Femoral size and position',
      value: `${choices.recipeOptions.femoralReferencing === 'anterior' ? 'size nearest to the anterior cortex' : `smallest size with a notch of at most ${allowedNotchMm} mm`}; midline through the knee centre, edges on the bone`,
      basis: `${choices.recipeOptions.femoralReferencing} referencing; our rule`,
    },
    {
      what: 'Tibial size and position',
      value: `largest size with an overhang of at most ${allowedOverhangMm} mm, shifted to the least overhang`,
      basis: 'our rule',
    },
    { what: 'Component', value: 'generic, invented; no pegs, no keel in its volume', basis: 'no maker’s data' },
  ]
}
