import type { StanceDrawing } from '../../stance/drawing.ts'

/** How the bar is put on screen: x to the right, y down, as the viewer in front of the subject sees it. */
export interface BarGeometry {
  /** Turn of the bar on screen, degrees, clockwise positive, already exaggerated. */
  readonly turnDeg: number
  /** What the true angle was multiplied by. */
  readonly exaggeration: number
  /** +1 when the medial end is on the viewer's right (a right leg). */
  readonly medialAt: 1 | -1
  /** −1…1 along the bar, towards the viewer's right: the bubble rises to the higher end. */
  readonly bubble: number
}

const steepestDrawnDeg = 16
const bubbleTravelDeg = 6

/** From the tray's drawn ends (true scale) to the bar; the exaggeration is the largest of ×4, ×3, ×2, ×1 that keeps it under 16°. */
export function barGeometry({ tray }: Pick<StanceDrawing, 'tray'>): BarGeometry {
  const [medialX, medialY] = onScreen(tray.medial)
  const [lateralX, lateralY] = onScreen(tray.lateral)
  const medialAt = medialX >= lateralX ? 1 : -1
  const trueTurn = (Math.atan2((medialY - lateralY) * medialAt, Math.abs(medialX - lateralX)) * 180) / Math.PI
  const exaggeration = [4, 3, 2].find((factor) => factor * Math.abs(trueTurn) <= steepestDrawnDeg) ?? 1
  return {
    turnDeg: trueTurn * exaggeration,
    exaggeration,
    medialAt,
    bubble: Math.max(-1, Math.min(1, -trueTurn / bubbleTravelDeg)),
  }
}

/** The marks stand where the bubble is at ±1°. */
export const bubbleAtOneDegree = 1 / bubbleTravelDeg

/** Millimetres to the viewer's right and down from the floor. */
export const onScreen = ([right, up]: readonly [number, number]): readonly [number, number] => [-right, -up]
