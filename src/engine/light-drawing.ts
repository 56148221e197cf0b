import type { DrawnLeg, FrontalLoop, FrontalPoint, StanceDrawing } from '../stance/drawing.ts'

/** Loops of a frontal drawing in one list: right and up of every point in turn, mm; a loop ends before each of `ends`. */
export interface LightLoops {
  readonly points: Float64Array<ArrayBuffer>
  readonly ends: readonly number[]
}

export interface LightLeg extends Omit<DrawnLeg, 'femur' | 'tibia'> {
  readonly femur: LightLoops
  readonly tibia: LightLoops
}

/** A stance's drawing as it goes from worker to window at every step of a pull: thousands of points without an object for each. */
export interface LightDrawing extends Omit<StanceDrawing, 'legs'> {
  readonly legs: readonly LightLeg[]
}

/** The drawing with its loops in lists. Nothing is rounded; `inFull` gives it back. */
export const lightDrawing = ({ legs, ...rest }: StanceDrawing): LightDrawing => ({
  ...rest,
  legs: legs.map(({ femur, tibia, ...leg }) => ({ ...leg, femur: inLists(femur), tibia: inLists(tibia) })),
})

/** The drawing as `stanceDrawing` made it. */
export const drawingInFull = ({ legs, ...rest }: LightDrawing): StanceDrawing => ({
  ...rest,
  legs: legs.map(({ femur, tibia, ...leg }) => ({ ...leg, femur: loopsOf(femur), tibia: loopsOf(tibia) })),
})

function inLists(loops: readonly FrontalLoop[]): LightLoops {
  const ends: number[] = []
  let count = 0
  for (const loop of loops) {
    count += loop.length
    ends.push(count)
  }
  const points = new Float64Array(2 * count)
  let at = 0
  for (const loop of loops)
    for (const [right, up] of loop) {
      points[at++] = right
      points[at++] = up
    }
  return { points, ends }
}

const loopsOf = ({ points, ends }: LightLoops): readonly FrontalLoop[] =>
  ends.map((end, k) => {
    const from = k === 0 ? 0 : ends[k - 1]!
    return Array.from(
      { length: end - from },
      (_, i): FrontalPoint => [points[2 * (from + i)]!, points[2 * (from + i) + 1]!],
    )
  })
