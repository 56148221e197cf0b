import type { BoneName } from '../../anatomy/terms.ts'
import type { CrossingPlaces, OpenedMesh, RepairOutcome } from '../../engine/contract.ts'
import type { RepairStep } from '../../geometry/repair.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import { openedBone } from './bones-slice.ts'
import type { Slice, WorkbenchState } from './state.ts'

/** Something that is wrong with an opened surface, and where; what the list shows and the view marks. */
export interface Problem {
  readonly id: string
  readonly lines: readonly (readonly Vec3[])[]
  readonly points: readonly Vec3[]
}

export interface PreviewOfRepair {
  /** The surface that it is a repair of (`OpenedMesh.key`). */
  readonly key: string
  readonly step: RepairStep
  readonly outcome: RepairOutcome
}

export interface ProblemsSlice {
  /** The problem that is pointed at, and which of its places. */
  readonly pointedAt: { readonly bone: BoneName; readonly id: string; readonly place: number } | null
  readonly preview: PreviewOfRepair | null
  /** Where surfaces run through themselves, by `OpenedMesh.key`, as far as that was asked for. */
  readonly crossings: Readonly<Record<string, CrossingPlaces>>
  pointAt(problem: ProblemsSlice['pointedAt']): void
  showPreview(preview: PreviewOfRepair | null): void
  keepCrossings(key: string, places: CrossingPlaces): void
}

export const createProblemsSlice: Slice<ProblemsSlice> = (set) => ({
  pointedAt: null,
  preview: null,
  crossings: {},
  pointAt: (pointedAt) => set({ pointedAt }),
  showPreview: (preview) => set({ preview }),
  keepCrossings: (key, places) => set((state) => ({ crossings: { ...state.crossings, [key]: places } })),
})

/** The preview that stands in for a bone now; null while the bone itself is shown. */
export function shownPreview(state: WorkbenchState, bone: BoneName): PreviewOfRepair | null {
  const { preview, stage } = state
  return preview !== null && stage === 'bones' && openedBone(state, bone)?.key === preview.key ? preview : null
}

export const problemOf = (step: RepairStep): string => JSON.stringify(step)
export const crossingsProblem = 'crossings'

/** Every problem of an opened surface that has places to show. */
export function problemsOf(opened: OpenedMesh, crossings: CrossingPlaces | undefined): readonly Problem[] {
  const proposed = opened.proposals.map(({ step, lines, points }) => ({ id: problemOf(step), lines, points }))
  return crossings ? [...proposed, { id: crossingsProblem, ...crossings }] : proposed
}
