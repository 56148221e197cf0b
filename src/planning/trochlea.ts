import type { BoneMesh } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { firstHit } from '../geometry/query.ts'
import { mapPoint, mapVector } from '../geometry/rigid.ts'
import { buildTree, type MeshTree } from '../geometry/tree.ts'
import { dot, toDeg, type Vec3 } from '../geometry/vec.ts'
import type { FemoralSize } from '../implants/family.ts'
import type { LegAxes } from './leg-axes.ts'
import type { Patellofemoral, PlacedComponent } from './planned.ts'

/**
 * The front of the knee before and after, geometric only: where the groove runs and how far the surface stands forward. On
 * levels of the component from its anterior chamfer to the middle of its flange, rays from the front find the
 * deepest point between the ridges, on the bone (plus assumed cartilage) and on the component. Null when the bone has no
 * groove there.
 */
export function patellofemoral(
  bone: BoneMesh,
  axes: LegAxes,
  component: PlacedComponent,
  size: FemoralSize,
  cartilageMm: number,
): Patellofemoral | null {
  const { patientFromComponent } = component
  const backward: Vec3 = [-1, 0, 0]
  const backwardInPatient = mapVector(patientFromComponent, backward)
  const tree = treeOf(component.mesh)
  const levels = levelsOf(size)
  const native = levels.map((height) =>
    deepestBetweenRidges((z) => {
      const hit = firstHit(bone.tree, mapPoint(patientFromComponent, [ahead, height, z]), backwardInPatient)
      return hit && ahead - hit.distanceMm + cartilageMm
    }),
  )
  const placed = levels.map((height) =>
    deepestBetweenRidges((z) => {
      const hit = firstHit(tree, [ahead, height, z], backward)
      return hit && ahead - hit.distanceMm
    }),
  )
  const pairs = levels.flatMap((height, i) => {
    const [before, after] = [native[i], placed[i]]
    return before && after ? [{ height, before, after }] : []
  })
  if (pairs.length < 3) return null
  const mean = (of: (p: (typeof pairs)[number]) => number) => pairs.reduce((sum, p) => sum + of(p), 0) / pairs.length
  const [height, z] = [mean((p) => p.height), mean((p) => p.before.z)]
  const run =
    mean((p) => (p.height - height) * (p.before.z - z)) / mean((p) => (p.height - height) * (p.height - height))
  const coronalDeg = (direction: Vec3) => {
    const inPatient = mapVector(patientFromComponent, direction)
    return toDeg(Math.atan2(dot(inPatient, axes.lateral), dot(inPatient, axes.proximal)))
  }
  const outward = dot(mapVector(patientFromComponent, [0, 0, 1]), axes.lateral) > 0 ? 1 : -1
  return {
    grooveNativeDeg: coronalDeg([0, 1, run]),
    grooveDeg: coronalDeg([0, 1, 0]),
    grooveLateralShiftMm: outward * (mean((p) => p.after.z) - z),
    grooveForwardMm: mean((p) => p.after.bottom - p.before.bottom),
    ridgeForwardMm: mean((p) => p.after.ridge - p.before.ridge),
  }
}

/** Rays start this far ahead of the posterior bone-side plane, mm. */
const ahead = 200
/** Half width across which the groove is looked for, and the step of the rays, mm. */
const halfWidth = 27
const step = 1.5

/** A dip shallower than this below the lower ridge is no groove, mm. */
const shallowest = 0.3

const levelsOf = (size: FemoralSize): readonly number[] =>
  [0, 0.25, 0.5, 0.75, 1].map(
    (share) => 0.6 * size.anteriorChamferMm + share * (0.5 * size.flangeHeightMm - 0.6 * size.anteriorChamferMm),
  )

interface GroovePoint {
  readonly z: number
  readonly bottom: number
  /** The higher of the two ridges beside it. */
  readonly ridge: number
}

/** The lowest front between the highest fronts of either half; null when there is no dip between them. */
function deepestBetweenRidges(frontAt: (z: number) => number | null): GroovePoint | null {
  const front: (number | null)[] = []
  for (let z = -halfWidth; z <= halfWidth; z += step) front.push(frontAt(z))
  const value = (i: number) => front[i] ?? Number.NEGATIVE_INFINITY
  const middle = (front.length - 1) / 2
  let left = middle
  let right = middle
  for (let i = 0; i <= middle; i++) {
    if (value(middle - i) > value(left)) left = middle - i
    if (value(middle + i) > value(right)) right = middle + i
  }
  let deepest = -1
  for (let i = left; i <= right; i++) {
    if (front[i] !== null && (deepest < 0 || value(i) < value(deepest))) deepest = i
  }
  if (deepest <= left || deepest >= right) return null
  if (Math.min(value(left), value(right)) - value(deepest) < shallowest) return null
  const [a, b, c] = [value(deepest - 1), value(deepest), value(deepest + 1)]
  const bend = a - 2 * b + c
  const shift = bend > 1e-9 ? Math.max(-0.5, Math.min(0.5, (a - c) / (2 * bend))) : 0
  return { z: (deepest + shift) * step - halfWidth, bottom: b, ridge: Math.max(value(left), value(right)) }
}

const trees = new WeakMap<Mesh, MeshTree>()

function treeOf(mesh: Mesh): MeshTree {
  const known = trees.get(mesh)
  if (known) return known
  const tree = buildTree(mesh)
  trees.set(mesh, tree)
  return tree
}
