import type { FemurAnatomy, TibiaAnatomy } from '../../anatomy/terms.ts'
import type { Depth } from '../../assess.ts'
import type { Progress } from '../../engine/contract.ts'
import type { LightDrawing } from '../../engine/light-drawing.ts'
import type { PlanParts } from '../../engine/plan-parts.ts'
import type { Failure } from '../../failure.ts'
import type { Findings } from '../../findings.ts'
import type { LoadMap } from '../../loading/loads.ts'
import type { Plan } from '../../planning/planned.ts'
import type { Alternatives } from '../live/report-of-case.ts'
import type { Slice } from './state.ts'

/** What the engine last said. Numbers are withheld (null) as soon as it says that they cannot be had. */
export interface ResultsSlice {
  readonly findings: Findings | null
  readonly drawing: LightDrawing | null
  readonly parts: PlanParts | null
  /** Where everything stands, with the components' meshes; what the pictures are made from. */
  readonly plan: Plan | null
  /** Why there are no findings although both bones are open. */
  readonly failure: Failure | null
  readonly femurAnatomy: FemurAnatomy | null
  readonly tibiaAnatomy: TibiaAnatomy | null
  readonly femurFailure: Failure | null
  readonly tibiaFailure: Failure | null
  /** True while shown numbers are older than the case. */
  readonly updating: boolean
  readonly partsUpdating: boolean
  /** The calculation under way, and how to stop it. */
  readonly calculation: { readonly progress: Progress; readonly cancel: () => void } | null
  /** How deep the shown findings go; `live` ones lack contact and interface. */
  readonly depth: Depth
  readonly maps: readonly LoadMap[]
  /** The other recipes, for the report; of the case they name. */
  readonly alternatives: Alternatives | null
  /** Why there is no picture of the cuts although there is a plan. */
  readonly partsFailure: Failure | null
}

export const createResultsSlice: Slice<ResultsSlice> = () => ({
  findings: null,
  drawing: null,
  parts: null,
  plan: null,
  failure: null,
  femurAnatomy: null,
  tibiaAnatomy: null,
  femurFailure: null,
  tibiaFailure: null,
  updating: false,
  partsUpdating: false,
  calculation: null,
  depth: 'live',
  maps: [],
  alternatives: null,
  partsFailure: null,
})
