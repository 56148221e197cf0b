import { volume } from '../geometry/measure.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { Plane } from '../geometry/plane.ts'
import { allHits, support } from '../geometry/query.ts'
import { buildTree, type MeshTree } from '../geometry/tree.ts'
import { addScaled, dot, type Vec3 } from '../geometry/vec.ts'
import type { FemoralSize, TibialSize } from './family.ts'
import { femoralSolid } from './femoral-solid.ts'
import type { PartialFemoralSize, PartialTibialSize } from './partial-family.ts'
import { partialFemoralSolid, partialTraySolid } from './partial-solids.ts'
import { traySolid } from './tray-solid.ts'

/** Where a component carries load and how thick it is there, both measured on its solid; component frame, mm. */
export interface BearingPoint {
  readonly point: Vec3
  readonly thicknessMm: number
}

export interface MeasuredFemoral {
  readonly size: FemoralSize
  readonly solid: Mesh
  /** Between bearing surface and bone-side planes; no pegs. */
  readonly volumeMm3: number
  readonly distalMedial: BearingPoint
  readonly distalLateral: BearingPoint
  readonly posteriorMedial: BearingPoint
  readonly posteriorLateral: BearingPoint
}

export interface MeasuredTibial {
  readonly size: TibialSize
  readonly insertMm: number
  readonly solid: Mesh
  /** Tray and insert between bearing surface and bone-side plane; no pegs, no keel. */
  readonly volumeMm3: number
  readonly medial: BearingPoint
  readonly lateral: BearingPoint
}

/**
 * A femoral component measured as a caliper would: per condyle the lowest (rearmost) bearing point, and the thickness by a
 * ray through it square to the distal (posterior) bone-side plane. Kept per size.
 */
export function measureFemoral(size: FemoralSize): MeasuredFemoral {
  const known = femorals.get(size)
  if (known) return known
  const solid = femoralSolid(size)
  const tree = buildTree(solid)
  const at = (medial: boolean, outward: Vec3) => measureAt(tree, outward, [half(medial ? 'medial' : 'lateral')])
  const measured: MeasuredFemoral = {
    size,
    solid,
    volumeMm3: volume(solid),
    distalMedial: at(true, [0, -1, 0]),
    distalLateral: at(false, [0, -1, 0]),
    posteriorMedial: at(true, [-1, 0, 0]),
    posteriorLateral: at(false, [-1, 0, 0]),
  }
  femorals.set(size, measured)
  return measured
}

/** Tray and insert measured at the two lowest points of the bearing surface, square to the bone-side plane. Kept per size and insert. */
export function measureTibial(size: TibialSize, insertMm: number): MeasuredTibial {
  const perSize = tibials.get(size) ?? new Map<number, MeasuredTibial>()
  tibials.set(size, perSize)
  const known = perSize.get(insertMm)
  if (known) return known
  const solid = traySolid(size, insertMm)
  const tree = buildTree(solid)
  const at = (side: 'medial' | 'lateral') => throughLowest(tree, side, size.trayMm)
  const measured: MeasuredTibial = {
    size,
    insertMm,
    solid,
    volumeMm3: volume(solid),
    medial: at('medial'),
    lateral: at('lateral'),
  }
  perSize.set(insertMm, measured)
  return measured
}

export interface MeasuredPartial {
  readonly femoralSolid: Mesh
  readonly tibialSolid: Mesh
  readonly femoralVolumeMm3: number
  readonly tibialVolumeMm3: number
  readonly distal: BearingPoint
  readonly posterior: BearingPoint
  readonly plateau: BearingPoint
}

/** Both components of a medial partial measured the same way. */
export function measurePartial(
  femoral: PartialFemoralSize,
  tibial: PartialTibialSize,
  insertMm: number,
): MeasuredPartial {
  const femoralSolid = partialFemoralSolid(femoral)
  const tibialSolid = partialTraySolid(tibial, insertMm)
  const femoralTree = buildTree(femoralSolid)
  return {
    femoralSolid,
    tibialSolid,
    femoralVolumeMm3: volume(femoralSolid),
    tibialVolumeMm3: volume(tibialSolid),
    distal: measureAt(femoralTree, [0, -1, 0], []),
    posterior: measureAt(femoralTree, [-1, 0, 0], []),
    plateau: throughLowest(buildTree(tibialSolid), 'medial', tibial.trayMm),
  }
}

const femorals = new WeakMap<FemoralSize, MeasuredFemoral>()
const tibials = new WeakMap<TibialSize, Map<number, MeasuredTibial>>()

const half = (side: 'medial' | 'lateral'): Plane => ({
  point: [0, 0, 0],
  normal: [0, 0, side === 'medial' ? -1 : 1],
})

function measureAt(tree: MeshTree, outward: Vec3, within: readonly Plane[]): BearingPoint {
  const point = support(tree, outward, within)
  if (point === null) throw new Error('A femoral component has no surface on one side.')
  // Farther chords belong to the far side of the component.
  return { point, thicknessMm: chords(tree, point, outward)[0]! }
}

/** The lowest point of the upper surface on one side: every vertex above `floorMm` belongs to it. */
function throughLowest(tree: MeshTree, side: 'medial' | 'lateral', floorMm: number): BearingPoint {
  const { positions } = tree.mesh
  let lowest: Vec3 | null = null
  for (let i = 0; i < positions.length; i += 3) {
    const p: Vec3 = [positions[i]!, positions[i + 1]!, positions[i + 2]!]
    if (p[1] <= floorMm + 1e-6 || dot(half(side).normal, p) <= 0) continue
    if (lowest === null || p[1] < lowest[1]) lowest = p
  }
  if (lowest === null) throw new Error('A tibial component has no surface on one side.')
  return { point: lowest, thicknessMm: chords(tree, lowest, [0, 1, 0]).reduce((sum, mm) => sum + mm, 0) }
}

/** Lengths inside the solid along the line through a surface point, from outside against `outward`, in order. */
function chords(tree: MeshTree, point: Vec3, outward: Vec3): readonly number[] {
  const inward: Vec3 = [-outward[0], -outward[1], -outward[2]]
  const lengths: number[] = []
  let since = 0
  let depth = 0
  for (const hit of allHits(tree, addScaled(point, outward, 100), inward)) {
    // Where two shells touch, one may be entered before the other is left.
    if (hit.entering && depth++ === 0) since = hit.distanceMm
    if (!hit.entering && --depth === 0) lengths.push(hit.distanceMm - since)
  }
  if (lengths.length === 0) throw new Error('A ray through a component found no bone-side plane.')
  return lengths
}
