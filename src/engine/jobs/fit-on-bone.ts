import { fail, ok, type Result } from '../../failure.ts'
import { distanceToShape, type FittedShape, fitShape } from '../../geometry/fit-shape.ts'
import type { Mesh } from '../../geometry/mesh.ts'
import { patchUnder } from '../../geometry/surface-patch.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import type { BoneShelf } from '../bone-shelf.ts'
import type { JobInput, JobOutput } from '../contract.ts'
import { lightMesh } from '../light-mesh.ts'

/** What lies under the brush of a held bone as a surface to look at, and the shape fitted to it or to picked points. */
export function fitOnBone(
  shelf: BoneShelf,
  { key, balls, points, kind, rejectBeyondSd }: JobInput<'fit-on-bone'>,
): Result<JobOutput<'fit-on-bone'>> {
  const held = shelf.get(key)
  if (!held) return fail('case/mesh-missing', 'That bone is not open.')
  const patch = patchUnder(held.tree, balls)
  const painted = patch.triangles.length > 0
  const fit = fitShape(kind, painted ? patch.points : points, painted ? { weights: patch.weights, rejectBeyondSd } : {})
  if (!painted) return ok({ fit, patch: null })
  const display = lightMesh(partOf(held.tree.mesh, patch.triangles))
  return ok({
    fit,
    patch: { display, areaMm2: patch.areaMm2, residualMm: fit.ok ? residuals(display, fit.value) : null },
  })
}

/** Some triangles of a mesh with their own vertices only. */
function partOf({ positions, triangles }: Mesh, taken: Uint32Array): Mesh {
  const renamed = new Map<number, number>()
  const own = new Uint32Array(3 * taken.length)
  const at: number[] = []
  own.forEach((_, i) => {
    const vertex = triangles[3 * taken[Math.floor(i / 3)]! + (i % 3)]!
    let name = renamed.get(vertex)
    if (name === undefined) {
      name = renamed.size
      renamed.set(vertex, name)
      at.push(positions[3 * vertex]!, positions[3 * vertex + 1]!, positions[3 * vertex + 2]!)
    }
    own[i] = name
  })
  return { positions: Float64Array.from(at), triangles: own }
}

/** One per corner of the surface drawn. */
function residuals(
  { positions, origin }: { readonly positions: Float32Array; readonly origin: Vec3 },
  shape: FittedShape,
): Float32Array {
  const out = new Float32Array(positions.length / 3)
  for (let k = 0; k < out.length; k++)
    out[k] = distanceToShape(shape, [
      positions[3 * k]! + origin[0],
      positions[3 * k + 1]! + origin[1],
      positions[3 * k + 2]! + origin[2],
    ])
  return out
}
