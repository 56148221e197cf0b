/** Pressures on a grid of the tray's plane: nodes row by row from `low` (lateral, anterior), mm and MPa. */
export interface PressureMap {
  readonly cellMm: number
  readonly columns: number
  readonly rows: number
  readonly low: readonly [number, number]
  /** 0 where surfaces face each other without touching; `nowhere` outside what is mapped. */
  readonly pressureMpa: Float64Array
}

/** Stands at nodes that lie outside the mapped region. */
export const nowhere = -1
