import type { BoneName, LandmarkId } from '../../anatomy/terms.ts'
import type { CaseDocument } from '../../casefile/document.ts'
import type { PaintedPatch } from '../../engine/contract.ts'
import type { Result } from '../../failure.ts'
import type { FittedShape, ShapeKind } from '../../geometry/fit-shape.ts'
import type { Ball } from '../../geometry/surface-patch.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import type { Slice, WorkbenchState } from './state.ts'

export const handTools = ['landmark', 'points', 'paint'] as const
export type HandTool = (typeof handTools)[number]
export const snapNames = ['surface', 'tip', 'groove', 'extreme'] as const
export type SnapName = (typeof snapNames)[number]
export const snapWays = ['proximal', 'distal', 'anterior', 'posterior', 'medial', 'lateral'] as const
export type SnapWay = (typeof snapWays)[number]

/** What the hand does on the bones; points and strokes are on one bone, in its patient frame, mm. */
export interface HandChoices {
  readonly handTool: HandTool
  readonly snapTo: SnapName
  readonly snapWay: SnapWay
  readonly snapRadiusMm: number
  readonly brushMm: number
  readonly shape: ShapeKind
  /** Outliers of a painted patch go beyond this many robust standard deviations; null: none goes. */
  readonly rejectBeyondSd: number | null
}

export interface HandSlice extends HandChoices {
  readonly handBone: BoneName | null
  readonly handPoints: readonly Vec3[]
  readonly handBalls: readonly Ball[]
  /** What the engine makes of points or patch; null while there is nothing to fit. */
  readonly handFit: Result<FittedShape> | null
  readonly handPatch: PaintedPatch | null
  /** What was there before each point and stroke, and the case it was done in; work by hand is no part of the case. */
  readonly handSteps: readonly HandStep[]
  /** While it is dragged, the other landmarks stay where they were. */
  readonly landmarkInHand: LandmarkId | null
  chooseHand(choices: Partial<HandChoices>): void
  addHandPoint(bone: BoneName, mm: Vec3): void
  dropHandPoint(index: number): void
  /** A stroke is one step, however much it paints. */
  beginHandStroke(): void
  addHandBall(bone: BoneName, ball: Ball): void
  undoHand(): void
  clearHand(): void
  takeLandmark(id: LandmarkId | null): void
}

export interface HandStep {
  readonly label: string
  readonly document: CaseDocument
  readonly before: Pick<HandSlice, 'handBone' | 'handPoints' | 'handBalls'>
}

const nothing = {
  handSteps: [],
  handBone: null,
  handPoints: [],
  handBalls: [],
  handFit: null,
  handPatch: null,
} as const

export const createHandSlice: Slice<HandSlice> = (set) => ({
  handTool: 'landmark',
  snapTo: 'surface',
  snapWay: 'distal',
  snapRadiusMm: 6,
  brushMm: 6,
  shape: 'plane',
  rejectBeyondSd: 3,
  ...nothing,
  landmarkInHand: null,
  chooseHand: (choices) =>
    set((state) => (changesTool(choices, state.handTool) ? { ...nothing, ...choices } : choices)),
  addHandPoint: (bone, mm) =>
    set((state) => {
      const before = state.handBone === bone ? state.handPoints : []
      // The same point twice says nothing more.
      const handPoints = [...before.filter((p) => p.join() !== mm.join()), mm]
      return { handBone: bone, handPoints, handSteps: withStep(state, 'pick point') }
    }),
  dropHandPoint: (index) =>
    set((state) => ({
      handPoints: state.handPoints.filter((_, k) => k !== index),
      handSteps: withStep(state, 'drop point'),
    })),
  beginHandStroke: () => set((state) => ({ handSteps: withStep(state, 'paint stroke') })),
  addHandBall: (bone, ball) =>
    set((state) => ({ handBone: bone, handBalls: [...(state.handBone === bone ? state.handBalls : []), ball] })),
  undoHand: () =>
    set((state) => {
      const step = handStep(state)
      return step ? { ...step.before, handSteps: state.handSteps.slice(0, -1) } : {}
    }),
  clearHand: () => set(nothing),
  takeLandmark: (landmarkInHand) => set({ landmarkInHand }),
})

/** The last point or stroke, while the case is the one it was done in: after an edit of the case, that is undone first. */
export const handStep = ({ stage, handSteps, history }: WorkbenchState): HandStep | null => {
  const last = handSteps.at(-1)
  return stage === 'landmarks' && last && last.document === history.present ? last : null
}

const withStep = (state: WorkbenchState, label: string): readonly HandStep[] => {
  const { handBone, handPoints, handBalls, history } = state
  return [...state.handSteps, { label, document: history.present, before: { handBone, handPoints, handBalls } }]
}

/** Points and patches are different ways to one fit: the other's are put away. */
const changesTool = ({ handTool }: Partial<HandChoices>, now: HandTool): boolean =>
  handTool !== undefined && handTool !== now
