import { fail, ok, type Result } from '../../failure.ts'
import { thicknessMap } from '../../geometry/thickness.ts'
import { buildTree } from '../../geometry/tree.ts'
import { addScaled, dot, reject, sub, unit, type Vec3 } from '../../geometry/vec.ts'
import { type NeededThickness, neededAt, neededThickness } from '../../planning/needed-thickness.ts'
import { pieces } from '../../planning/pieces.ts'
import { type BoneShelf, bonesOf } from '../bone-shelf.ts'
import type { JobInput, PieceThickness } from '../contract.ts'

const stepMm = 0.75

/**
 * Thickness of the piece of one cut, laid out on axes the viewer chose (patient frame of the bone; taken into the
 * plane). A cut that takes nothing, or is not planned, is `cut/misses-bone`.
 */
export function thicknessOfPiece(
  shelf: BoneShelf,
  { meshes, plan, cut, right, up }: JobInput<'thickness-map'>,
): Result<PieceThickness> {
  const bones = bonesOf(shelf, { meshes })
  if (!bones.ok) return bones
  const planned = plan.cuts.find(({ id }) => id === cut)
  if (!planned?.point || !planned.normal) return fail('cut/misses-bone', 'This cut is not planned.')
  const made = pieces(plan, bones.value)
  if (!made.ok) return made
  const piece = made.value.find(({ id }) => id === cut)
  if (!piece) return fail('cut/misses-bone', 'This cut takes no bone.')
  const map = thicknessMap(buildTree(piece.mesh), { point: planned.point, normal: planned.normal }, stepMm)
  const across = unit(reject(right, planned.normal))
  const along = unit(reject(reject(up, planned.normal), across))
  const laid = layOut(map, across, along)
  const needed = neededThickness(plan.sites, cut)
  const differenceMm = differences(laid, needed)
  return ok({
    cut,
    differenceMm,
    needed: needed.map(({ compartment, neededMm }) => ({ compartment, neededMm })),
    extremes: extremes(laid, differenceMm),
    minMm: map.minMm,
    meanMm: map.meanMm,
    maxMm: map.maxMm,
    ...laid,
  })
}

/** The same samples on a grid of the viewer's axes, rows from the top down; −1 where there is no piece. */
function layOut(map: ReturnType<typeof thicknessMap>, across: Vec3, along: Vec3) {
  const corners = [
    [0, 0],
    [map.columns, 0],
    [0, map.rows],
    [map.columns, map.rows],
  ].map(([i, j]) => addScaled(addScaled(map.origin, map.u, i! * map.stepMm), map.v, j! * map.stepMm))
  const range = (axis: Vec3) => {
    const at = corners.map((corner) => dot(axis, corner))
    return [Math.min(...at), Math.max(...at)] as const
  }
  const [left, rightEnd] = range(across)
  const [bottom, top] = range(along)
  const columns = Math.max(1, Math.round((rightEnd - left) / map.stepMm))
  const rows = Math.max(1, Math.round((top - bottom) / map.stepMm))
  const thicknessMm = new Float32Array(columns * rows).fill(-1)
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const x = left + (column + 0.5) * map.stepMm
      const y = top - (row + 0.5) * map.stepMm
      const from: Vec3 = addScaled(
        addScaled(map.origin, across, x - dot(across, map.origin)),
        along,
        y - dot(along, map.origin),
      )
      const offset = sub(from, map.origin)
      const i = Math.round(dot(offset, map.u) / map.stepMm)
      const j = Math.round(dot(offset, map.v) / map.stepMm)
      if (i < 0 || j < 0 || i >= map.columns || j >= map.rows) continue
      thicknessMm[row * columns + column] = map.thicknessMm[j * map.columns + i]!
    }
  }
  const corner = addScaled(
    addScaled(map.origin, across, left - dot(across, map.origin)),
    along,
    top - dot(along, map.origin),
  )
  const alongColumn: Vec3 = [-along[0], -along[1], -along[2]]
  return { columns, rows, stepMm: map.stepMm, corner, alongRow: across, alongColumn, thicknessMm }
}

type LaidOut = ReturnType<typeof layOut>

const middleOf = ({ columns, corner, alongRow, alongColumn, stepMm }: LaidOut, k: number): Vec3 =>
  addScaled(
    addScaled(corner, alongRow, ((k % columns) + 0.5) * stepMm),
    alongColumn,
    (Math.floor(k / columns) + 0.5) * stepMm,
  )

/** Taken less put back in every cell, 0 where there is no piece; null where nothing is put back. */
function differences(laid: LaidOut, needed: readonly NeededThickness[]): Float32Array | null {
  if (needed.length === 0) return null
  return laid.thicknessMm.map((mm, k) => (mm < 0 ? 0 : mm - (neededAt(needed, middleOf(laid, k)) ?? mm)))
}

function extremes(laid: LaidOut, differenceMm: Float32Array | null) {
  let [thin, thick] = [-1, -1]
  laid.thicknessMm.forEach((mm, k) => {
    if (mm < 0) return
    if (thin < 0 || mm < laid.thicknessMm[thin]!) thin = k
    if (thick < 0 || mm > laid.thicknessMm[thick]!) thick = k
  })
  if (thin < 0) return []
  return [thin, thick].map((k) => ({
    mm: laid.thicknessMm[k]!,
    differenceMm: differenceMm?.[k] ?? null,
    at: middleOf(laid, k),
  }))
}
