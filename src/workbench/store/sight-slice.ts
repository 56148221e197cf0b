import type { DrawnShapeId } from '../../anatomy/drawn-shapes.ts'
import type { Slice } from './state.ts'

export type Rotation = 'turntable' | 'trackball'
export type WheelUse = 'zoom' | 'pan'
export const measureKinds = ['distance', 'angle', 'plane'] as const
export type MeasureKind = (typeof measureKinds)[number]

/** How many points a measurement takes. */
export const pointsToMeasure: Readonly<Record<MeasureKind, number>> = { distance: 2, angle: 3, plane: 1 }

/** How one looks; no part of the case. How the view is turned and what the wheel does is remembered between windows. */
export interface SightSlice {
  readonly rotation: Rotation
  readonly wheel: WheelUse
  /** The bones as they were beside the plan, one camera for both. */
  readonly split: boolean
  readonly sectionShown: boolean
  readonly measureKind: MeasureKind
  readonly viewsOpen: boolean
  /** Fits and lines drawn on the bones of the landmarks stage, and the one that is pointed at in the list. */
  readonly shapesShown: ReadonlySet<DrawnShapeId>
  readonly shapePointedAt: DrawnShapeId | null
  /** How far the camera can be taken back and forward again. */
  readonly cameraSteps: { readonly back: number; readonly forward: number }
  setRotation(rotation: Rotation): void
  setWheel(wheel: WheelUse): void
  setSplit(split: boolean): void
  setSectionShown(shown: boolean): void
  setMeasureKind(kind: MeasureKind): void
  showViews(open: boolean): void
  showShapes(ids: readonly DrawnShapeId[]): void
  pointAtShape(id: DrawnShapeId | null): void
}

/** What is drawn until something else is chosen: what the joint lines and axes of the plan rest on. */
export const shapesShownFirst: readonly DrawnShapeId[] = [
  'femoral-head',
  'condylar-cylinder',
  'trochlear-groove',
  'plateau-medial',
  'plateau-lateral',
]

const key = 'floorline.view'

export const createSightSlice: Slice<SightSlice> = (set, get) => {
  const remember = () => {
    try {
      const { rotation, wheel } = get()
      globalThis.localStorage?.setItem(key, JSON.stringify({ rotation, wheel }))
    } catch {
      // A window without storage forgets the choice when it closes; nothing else depends on it.
    }
  }
  return {
    ...remembered(),
    split: false,
    sectionShown: false,
    shapesShown: new Set(shapesShownFirst),
    shapePointedAt: null,
    measureKind: 'distance',
    viewsOpen: false,
    cameraSteps: { back: 0, forward: 0 },
    setRotation: (rotation) => {
      set({ rotation })
      remember()
    },
    setWheel: (wheel) => {
      set({ wheel })
      remember()
    },
    setSplit: (split) => set({ split }),
    // In big type there is room for one card beside the knee.
    setSectionShown: (sectionShown) =>
      set(get().present && sectionShown ? { sectionShown, thicknessShown: false } : { sectionShown }),
    showShapes: (ids) => set({ shapesShown: new Set(ids) }),
    pointAtShape: (shapePointedAt) => set({ shapePointedAt }),
    showViews: (viewsOpen) => set({ viewsOpen }),
    setMeasureKind: (measureKind) => set({ measureKind, measured: [] }),
  }
}

function remembered(): Pick<SightSlice, 'rotation' | 'wheel'> {
  try {
    const stored: unknown = JSON.parse(globalThis.localStorage?.getItem(key) ?? '{}')
    const { rotation, wheel } = stored as Partial<SightSlice>
    return {
      rotation: rotation === 'trackball' ? rotation : 'turntable',
      wheel: wheel === 'pan' ? wheel : 'zoom',
    }
  } catch {
    return { rotation: 'turntable', wheel: 'zoom' }
  }
}
