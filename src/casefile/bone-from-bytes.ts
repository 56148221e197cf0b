import { type FilePart, fileParts, hasGap } from '../anatomy/file-parts.ts'
import type { BoneName, CompanionName } from '../anatomy/terms.ts'
import { type Failure, fail, ok, type Result, type Warning } from '../failure.ts'
import type { MeshFile } from '../formats/mesh-file.ts'
import { readMesh } from '../formats/read.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { principalExtents } from '../geometry/extents.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { RepairStep } from '../geometry/repair.ts'
import { scaleMesh } from '../geometry/transform.ts'
import { guessUnit, MM_PER_UNIT } from '../geometry/units.ts'
import { caseBone } from './case-bone.ts'

/** A bone out of a file: in mm, repaired, wound outward. */
export interface OpenedBone {
  readonly bone: BoneMesh
  readonly file: MeshFile
  readonly unitFactor: number
  /** As asked, or the piece of the file that was taken. */
  readonly repairs: readonly RepairStep[]
  /** Parts of the leg in the same file that carry a joint centre. */
  readonly companions: readonly { readonly part: CompanionName; readonly repairs: readonly RepairStep[] }[]
  readonly warnings: readonly Warning[]
}

export interface BoneReading {
  /** Which bone the file is used as; its size tells the unit better then. */
  readonly bone?: BoneName
  readonly repairs?: readonly RepairStep[]
  /** The file is used for the other bone too: its pieces are told apart. */
  readonly shared?: boolean
}

/**
 * Reads a mesh file and makes a bone of it. `unitFactor` (mm per file unit) null: not said; then it is read as mm where
 * its size allows that, and a size that is a bone's in another unit is `unit/not-mm`, never converted silently.
 */
export function boneFromBytes(
  bytes: Uint8Array,
  name: string,
  unitFactor: number | null,
  { bone, repairs: asked = [], shared = false }: BoneReading = {},
): Result<OpenedBone> {
  const read = readMesh(bytes, name)
  if (!read.ok) return at(read.failure, name)
  const file = read.value
  const doubt = unitFactor === null ? unitDoubt(file.mesh, name, bone) : ok([])
  if (!doubt.ok) return doubt
  const factor = unitFactor ?? 1
  const slabs = bone && asked.length === 0 && (shared || hasGap(file.mesh)) ? slabsOf(file.mesh, factor) : []
  const own = slabs.find(({ guess }) => guess.bone === bone)
  const repairs = own ? [keep(own)] : asked
  const made = caseBone(file.mesh, { name, unitFactor: factor, repairs })
  if (!made.ok) return at(made.failure, name)
  return ok({
    bone: made.value.bone,
    file,
    unitFactor: factor,
    repairs,
    companions: slabs.flatMap((slab) =>
      slab.guess.companion ? [{ part: slab.guess.companion, repairs: [keep(slab)] }] : [],
    ),
    warnings: [
      ...file.warnings,
      ...doubt.value,
      ...made.value.warnings,
      ...(own ? [onePiece(name, bone, slabs.length)] : []),
    ],
  })
}

const slabsOf = (mesh: Mesh, factor: number): readonly FilePart[] =>
  fileParts(factor === 1 ? mesh : scaleMesh(mesh, factor))

const keep = ({ rank }: FilePart): RepairStep => ({ kind: 'keep-piece', rank })

const onePiece = (name: string, bone: BoneName | undefined, count: number): Warning => ({
  code: 'mesh/one-piece',
  message: `${name} holds ${count} parts of a leg; the ${bone} is the one that its shape says.`,
  spoils: [],
})

function at({ code, message, hint, place }: Failure, name: string) {
  return fail(code, message, {
    place: place === null ? name : `${name}: ${place}`,
    ...(hint === null ? {} : { hint }),
  })
}

/** A warning where the size fits no one unit; a failure where it fits another than mm. */
function unitDoubt(mesh: Mesh, name: string, bone: BoneName | undefined): Result<readonly Warning[]> {
  if (mesh.triangles.length === 0) return ok([])
  const extents = principalExtents(mesh.positions)
  const unit = guessUnit(extents, bone ?? 'unknown')
  if (unit === 'mm') return ok([])
  const size = extents.map((extent) => Number(extent.toPrecision(3))).join(' × ')
  if (unit === 'unknown') {
    const message = `The size of ${name}, ${size}, fits ${bone ? `a ${bone}` : 'a bone'} in no one unit; it is read as mm.`
    return ok([{ code: 'unit/unknown', message, spoils: ['bones', 'volumes', 'sites'] }])
  }
  const inUnit = unit === 'inch' ? 'inches' : unit
  return fail(
    'unit/not-mm',
    `${name} measures ${size}: the size of ${bone ? `a ${bone}` : 'a bone'} in ${inUnit}, not in mm.`,
    {
      hint: `Say --unit ${unit} to multiply it by ${MM_PER_UNIT[unit]}, or --unit mm if it is in mm all the same.`,
      place: name,
    },
  )
}
