import { type FailureCode, fail, ok, type Result, type Warning } from '../failure.ts'
import type { MeshFile } from '../formats/mesh-file.ts'
import { readMesh } from '../formats/read.ts'
import { type BoneMesh, makeBone } from '../geometry/bone.ts'
import { principalExtents } from '../geometry/extents.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { flipWinding, scaleMesh } from '../geometry/transform.ts'
import { guessUnit, MM_PER_UNIT } from '../geometry/units.ts'

/** A bone out of a file: in mm, wound outward when it is closed. */
export interface OpenedBone {
  readonly bone: BoneMesh
  readonly file: MeshFile
  readonly unitFactor: number
  readonly warnings: readonly Warning[]
}

/**
 * Reads a mesh file and makes a bone of it. `unitFactor` (mm per file unit) null: from the size, said in a warning
 * when it is not mm; mm where the size fits no one unit. A closed mesh wound inward is turned, with a warning.
 */
export function boneFromBytes(bytes: Uint8Array, name: string, unitFactor: number | null): Result<OpenedBone> {
  const read = readMesh(bytes, name)
  if (!read.ok) return at(read.failure, name)
  const file = read.value
  const factor = unitFactor ?? guessedFactor(file.mesh)
  const scaled = factor === 1 ? file.mesh : scaleMesh(file.mesh, factor)
  const made = makeBone(scaled)
  if (!made.ok) return at(made.failure, name)
  const inward = made.value.volumeMm3 !== null && made.value.volumeMm3 < 0
  const outward = inward ? makeBone({ positions: scaled.positions, triangles: flipWinding(scaled.triangles) }) : made
  if (!outward.ok) return at(outward.failure, name)
  return ok({
    bone: outward.value,
    file,
    unitFactor: factor,
    warnings: [
      ...file.warnings,
      ...(unitFactor === null && factor !== 1 ? [unitWarning(name, factor)] : []),
      ...(inward ? [inwardWarning(name)] : []),
    ],
  })
}

function at(
  failure: {
    readonly code: FailureCode
    readonly message: string
    readonly hint: string | null
    readonly place: string | null
  },
  name: string,
) {
  const place = failure.place === null ? name : `${name}: ${failure.place}`
  return fail(failure.code, failure.message, { place, ...(failure.hint === null ? {} : { hint: failure.hint }) })
}

function guessedFactor(mesh: Mesh): number {
  if (mesh.triangles.length === 0) return 1
  const unit = guessUnit(principalExtents(mesh.positions))
  return unit === 'unknown' ? 1 : MM_PER_UNIT[unit]
}

const unitWarning = (name: string, factor: number): Warning => ({
  code: 'unit/assumed',
  message: `${name} has the size of a bone in a unit of ${factor} mm; it was enlarged by that factor. Declare the unit to settle it.`,
  spoils: ['bones', 'volumes', 'sites'],
})

const inwardWarning = (name: string): Warning => ({
  code: 'mesh/turned-outward',
  message: `${name} was wound inside out and has been turned outward.`,
  spoils: [],
})
