import type { BoneName } from '../anatomy/terms.ts'
import { ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { clip } from '../geometry/clip.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { flipped, type Plane } from '../geometry/plane.ts'
import type { Plan, PlannedCut } from './planned.ts'
import { rejoin } from './rejoin.ts'
import type { CutId } from './terms.ts'

/** A bone after the cuts, or what one cut takes (kerf slab included), as a closed mesh in the bone's patient frame. */
export interface Piece {
  readonly id: CutId | 'femur-kept' | 'tibia-kept'
  readonly bone: BoneName
  readonly mesh: Mesh
}

/** The part of a plan that says where it is sawn. */
export interface PlannedPlanes extends Pick<Plan, 'procedure' | 'femoralBlock' | 'femoralNotch'> {
  readonly cuts: readonly Pick<PlannedCut, 'id' | 'bone' | 'point' | 'normal'>[]
}

/**
 * Carries the plan out on the meshes, in cutting order: kept bones first, then the removed pieces (a cut that takes nothing
 * gives none). `cut/touches-open-boundary` when a cut runs through a hole of an open bone.
 */
export function pieces(
  plan: PlannedPlanes,
  bones: { readonly femur: BoneMesh; readonly tibia: BoneMesh },
): Result<readonly Piece[]> {
  const tibia = piecesOf(plan, 'tibia', bones.tibia)
  if (!tibia.ok) return tibia
  const femur = piecesOf(plan, 'femur', bones.femur)
  if (!femur.ok) return femur
  const [femurKept, ...femurRemoved] = femur.value
  const [tibiaKept, ...tibiaRemoved] = tibia.value
  return ok([femurKept!, tibiaKept!, ...femurRemoved, ...tibiaRemoved])
}

/** The same for one bone: kept first, then what was removed in cutting order. */
export function piecesOf(
  plan: PlannedPlanes,
  bone: BoneName,
  { mesh: whole }: Pick<BoneMesh, 'mesh'>,
): Result<readonly Piece[]> {
  const cut = bone === 'femur' ? cutBlock(whole, blocksOf(plan), planesOf(plan, 'femur')) : cutTibia(plan, whole)
  if (!cut.ok) return cut
  return ok([
    { id: `${bone}-kept`, bone, mesh: cut.value.kept },
    ...cut.value.removed.map(({ id, mesh }): Piece => ({ id, bone, mesh })),
  ])
}

const cutTibia = (plan: PlannedPlanes, whole: Mesh): Result<Cut> =>
  plan.procedure === 'total' ? cutInTurn(whole, planesOf(plan, 'tibia')) : cutCorner(plan, whole)

interface Cut {
  readonly kept: Mesh
  readonly removed: readonly { readonly id: CutId; readonly mesh: Mesh }[]
}

const blocksOf = (plan: PlannedPlanes): readonly Plane[] =>
  plan.femoralNotch === null ? [plan.femoralBlock] : [plan.femoralBlock, plan.femoralNotch]

/** Cuts within the block only: the block is parted from the rest, cut, and put back. */
function cutBlock(whole: Mesh, blocks: readonly Plane[], cuts: readonly CutPlane[]): Result<Cut> {
  const [outer, ...inner] = blocks
  if (outer === undefined) return cutInTurn(whole, cuts)
  const block = clip(whole, outer)
  if (!block.ok) return block
  const cut = cutBlock(block.value.kept, inner, cuts)
  if (!cut.ok) return cut
  const taken = cut.value.removed.map(({ mesh }) => mesh)
  return ok({ kept: rejoin(cut.value.kept, block.value.removed, taken, outer), removed: cut.value.removed })
}

/** The medial corner of the tibia: what lies beyond both the horizontal and the vertical cut comes off as one piece. */
function cutCorner(plan: PlannedPlanes, whole: Mesh): Result<Cut> {
  const planes = planesOf(plan, 'tibia')
  const horizontal = planes.filter(({ id }) => id === 'tibia')
  const vertical = planes.find(({ id }) => id === 'tibia-vertical')
  if (vertical === undefined) return cutInTurn(whole, horizontal)
  return cutBlock(whole, [flipped(vertical.plane)], horizontal)
}

interface CutPlane {
  readonly id: CutId
  readonly plane: Plane
}

function planesOf(plan: PlannedPlanes, bone: BoneName): readonly CutPlane[] {
  return plan.cuts.flatMap(({ id, bone: owner, point, normal }) =>
    owner === bone && point !== null && normal !== null ? [{ id, plane: { point, normal } }] : [],
  )
}

function cutInTurn(whole: Mesh, cuts: readonly CutPlane[]): Result<Cut> {
  let kept = whole
  const removed: { id: CutId; mesh: Mesh }[] = []
  for (const { id, plane } of cuts) {
    const parts = clip(kept, plane)
    if (!parts.ok) return parts
    kept = parts.value.kept
    if (parts.value.removed.triangles.length > 0) removed.push({ id, mesh: parts.value.removed })
  }
  return ok({ kept, removed })
}
