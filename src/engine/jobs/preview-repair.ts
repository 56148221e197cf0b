import { ok, type Result } from '../../failure.ts'
import { boundInside, makeBoundedBone } from '../../geometry/bounded-bone.ts'
import type { Mesh } from '../../geometry/mesh.ts'
import { previewRepair } from '../../geometry/repair.ts'
import type { JobContext, JobInput, RepairOutcome } from '../contract.ts'
import { displayMesh } from '../display-mesh.ts'
import { lightMesh } from '../light-mesh.ts'

/** What one repair would make of a surface, without making it: the picture and what would change. */
export function previewOfRepair(
  { mesh, step }: JobInput<'preview-repair'>,
  context: JobContext,
): Result<RepairOutcome> {
  const { mesh: repaired, health, trianglesAdded } = previewRepair(mesh, step)
  const bone = makeBoundedBone(repaired)
  if (!bone.ok) return bone
  const display = lightMesh(repaired)
  const added = addedSurface(mesh, repaired)
  for (const picture of added ? [display, added] : [display]) {
    context.transfer(picture.positions.buffer)
    context.transfer(picture.normals.buffer)
  }
  return ok({
    display,
    added,
    trianglesAdded,
    closed: health.closed,
    boundaryEdges: health.boundaryEdges,
    nonManifoldEdges: health.nonManifoldEdges,
    volumeMm3: bone.value.volumeMm3,
    volumeBoundMm3: boundInside(bone.value, []),
  })
}

/** Repairs that invent surface leave the old triangles in their places and put the new ones behind them. */
function addedSurface(before: Mesh, { positions, triangles }: Mesh) {
  const { length } = before.triangles
  const extended = triangles.length > length && before.triangles.every((v, i) => triangles[i] === v)
  return extended ? displayMesh({ positions, triangles: triangles.slice(length) }) : null
}
