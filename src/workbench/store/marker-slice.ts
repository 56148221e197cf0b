import type { Slice } from './state.ts'

/** A line drawn over the view; x and y as fractions of its width and height. */
export type Stroke = readonly (readonly [x: number, y: number])[]

export interface MarkerSlice {
  /** A spot that follows the pointer, or a pen that draws over the view. Neither is part of the case. */
  readonly marker: 'off' | 'pointer' | 'pen'
  readonly strokes: readonly Stroke[]
  setMarker(marker: MarkerSlice['marker']): void
  addStroke(stroke: Stroke): void
  clearStrokes(): void
}

export const createMarkerSlice: Slice<MarkerSlice> = (set) => ({
  marker: 'off',
  strokes: [],
  setMarker: (marker) => set({ marker }),
  addStroke: (stroke) => set((state) => ({ strokes: [...state.strokes, stroke] })),
  clearStrokes: () => set({ strokes: [] }),
})
