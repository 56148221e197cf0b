import type { BoneName } from '../../anatomy/terms.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

interface PlacesToPoint {
  readonly id: string
  readonly points: readonly Vec3[]
  readonly sizeMm: number
}

/** A button's behaviour that leads through the places of a problem, one after the other, with the camera. */
export function usePointer(bone: BoneName, opened: OpenedMesh, { id, points, sizeMm }: PlacesToPoint) {
  const { store } = useWorkbench()
  const place = useWorkbenchState((state) =>
    state.pointedAt?.bone === bone && state.pointedAt.id === id ? state.pointedAt.place : null,
  )
  const next = () => {
    const to = place === null ? 0 : (place + 1) % points.length
    const at = points[to]
    const { pointAt, moveCamera } = store.getState()
    pointAt({ bone, id, place: to })
    if (at) moveCamera({ kind: 'place', bone, at, from: axisPoint(opened, at), sizeMm: Math.min(sizeMm, MOST_MM) })
  }
  const words = place === null ? 'Show' : points.length > 1 ? `Next (${place + 1} of ${points.length})` : 'Show again'
  return { pointed: place !== null, next, words }
}

/** A border runs around the bone at most; what is larger is seen whole. */
const MOST_MM = 120

/** The middle of the bone at the height of the place, so that one looks at it from the side: bones are long. */
function axisPoint({ boxMm: [low, high] }: OpenedMesh, at: Vec3): Vec3 {
  const extents = [0, 1, 2].map((k) => high[k]! - low[k]!)
  const long = extents.indexOf(Math.max(...extents))
  return [0, 1, 2].map((k) => (k === long ? at[k]! : (low[k]! + high[k]!) / 2)) as unknown as Vec3
}
