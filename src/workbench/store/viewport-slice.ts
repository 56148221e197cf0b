import type { BoneName, LandmarkId } from '../../anatomy/terms.ts'
import type { LookName } from '../../casefile/lesson.ts'
import type { Layer, SavedCamera } from '../../casefile/saved-view.ts'
import type { PieceThickness } from '../../engine/contract.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import type { LoadDirection } from '../../loading/loads.ts'
import type { CutId } from '../../planning/terms.ts'
import { pointsToMeasure } from './sight-slice.ts'
import type { Slice } from './state.ts'

export { lookNames as presetNames } from '../../casefile/lesson.ts'
export type PresetName = LookName
export type { Layer } from '../../casefile/saved-view.ts'

/** A request to the camera; each new object is carried out once. */
export type CameraRequest =
  | { readonly kind: 'preset'; readonly preset: PresetName }
  | { readonly kind: 'fit'; readonly what: 'all' | 'knee'; readonly preset?: PresetName }
  /** A step of the camera's own history. */
  | { readonly kind: 'back' | 'forward' }
  /** An exact place to look from, in the scene of the open stage. */
  | { readonly kind: 'camera'; readonly camera: SavedCamera }
  /** A place on a bone, in its patient frame, seen from outside: `from` lies behind it. */
  | { readonly kind: 'place'; readonly bone: BoneName; readonly at: Vec3; readonly from: Vec3; readonly sizeMm: number }

/** A picture of the view: how many pixels to one of the screen, on what, and with the words that lie over it or without. */
export interface PictureOptions {
  readonly enlargement: number
  readonly ground: 'transparent' | 'white'
  readonly labels: boolean
}

export interface ViewportSlice {
  readonly projection: 'orthographic' | 'perspective'
  readonly cameraRequest: CameraRequest | null
  readonly hidden: ReadonlySet<Layer>
  readonly liftPieces: boolean
  readonly seeThrough: boolean
  readonly thicknessShown: boolean
  /** The map of the active cut's piece while it is asked for. */
  readonly pieceThickness: PieceThickness | null
  /** The load whose pressures are painted on the insert; null: none. */
  readonly pressurePainted: LoadDirection | null
  readonly measuring: boolean
  /** Points of the scene, as many as the measurement takes at most. */
  readonly measured: readonly Vec3[]
  /** How far the leg has got from lying (0) to standing (1) on the stages where it stands. */
  readonly risen: number
  /** Whether the other leg is drawn beside it. */
  readonly otherLegShown: boolean
  readonly activeCut: CutId
  /** Handles of a femoral cut move that cut alone, away from its component, instead of the component with all its cuts. */
  readonly cutAlone: boolean
  readonly activeLandmark: LandmarkId | null
  /** Where one looks from now; null while there is no view. */
  readonly readCamera: (() => SavedCamera) | null
  /** Draws the view as a PNG; null while there is no view. */
  readonly drawPicture: ((options: PictureOptions) => Promise<Blob | null>) | null
  setProjection(projection: ViewportSlice['projection']): void
  moveCamera(request: CameraRequest): void
  toggleLayer(layer: Layer): void
  setLiftPieces(lift: boolean): void
  setSeeThrough(seeThrough: boolean): void
  setThicknessShown(shown: boolean): void
  paintThickness(painted: ViewportSlice['pieceThickness']): void
  paintPressure(direction: LoadDirection | null): void
  setMeasuring(measuring: boolean): void
  addMeasured(point: Vec3): void
  clearMeasured(): void
  setRisen(risen: number): void
  showOtherLeg(shown: boolean): void
  chooseCut(cut: CutId): void
  moveCutAlone(alone: boolean): void
  chooseLandmark(id: LandmarkId | null): void
}

export const createViewportSlice: Slice<ViewportSlice> = (set) => ({
  projection: 'orthographic',
  cameraRequest: null,
  hidden: new Set<Layer>(),
  liftPieces: true,
  seeThrough: false,
  thicknessShown: false,
  pieceThickness: null,
  pressurePainted: null,
  measuring: false,
  measured: [],
  risen: 1,
  otherLegShown: true,
  activeCut: 'tibia',
  cutAlone: false,
  activeLandmark: null,
  readCamera: null,
  drawPicture: null,
  setProjection: (projection) => set({ projection }),
  moveCamera: (request) => set({ cameraRequest: { ...request } }),
  toggleLayer: (layer) =>
    set((state) => {
      const hidden = new Set(state.hidden)
      if (!hidden.delete(layer)) hidden.add(layer)
      return { hidden }
    }),
  setLiftPieces: (liftPieces) => set({ liftPieces }),
  setSeeThrough: (seeThrough) => set({ seeThrough }),
  setMeasuring: (measuring) => set({ measuring, measured: [] }),
  addMeasured: (point) =>
    set((state) => ({
      measured: state.measured.length < pointsToMeasure[state.measureKind] ? [...state.measured, point] : [point],
    })),
  clearMeasured: () => set((state) => (state.measured.length > 0 ? { measured: [] } : {})),
  setThicknessShown: (thicknessShown) =>
    set(({ present, sectionShown }) => ({
      thicknessShown,
      sectionShown: sectionShown && !(present && thicknessShown),
    })),
  paintThickness: (pieceThickness) => set({ pieceThickness }),
  paintPressure: (pressurePainted) => set({ pressurePainted }),
  setRisen: (risen) => set({ risen: Math.min(1, Math.max(0, risen)) }),
  showOtherLeg: (otherLegShown) => set({ otherLegShown }),
  chooseCut: (activeCut) => set({ activeCut }),
  moveCutAlone: (cutAlone) => set({ cutAlone }),
  chooseLandmark: (activeLandmark) => set({ activeLandmark }),
})
