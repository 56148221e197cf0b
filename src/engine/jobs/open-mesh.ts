import { guessBone } from '../../anatomy/guess-bone.ts'
import { sha256 } from '../../casefile/hash.ts'
import { ok, type Result, type Warning } from '../../failure.ts'
import { inspectMesh } from '../../formats/inspect.ts'
import { readMesh } from '../../formats/read.ts'
import { makeBone } from '../../geometry/bone.ts'
import { type MeshHealth, meshHealth } from '../../geometry/health.ts'
import type { Mesh } from '../../geometry/mesh.ts'
import { flipWinding, scaleMesh } from '../../geometry/transform.ts'
import type { JobContext, JobInput, OpenedMesh } from '../contract.ts'
import { lightMesh } from '../light-mesh.ts'

/** Reads and inspects one file, and makes the copy that is looked at. */
export async function openMesh(input: JobInput<'open-mesh'>, context: JobContext): Promise<Result<OpenedMesh>> {
  const { file, name, unitFactor } = input
  context.progress(0, 'reading')
  const bytes = new Uint8Array(await file.arrayBuffer())
  const hash = await sha256(bytes)
  const read = readMesh(bytes, name, { onProgress: (fraction) => context.progress(0.05 + 0.5 * fraction, 'reading') })
  if (!read.ok) return read
  context.progress(0.6, 'checking the surface')
  const health = meshHealth(read.value.mesh)
  const mesh = outward(read.value.mesh, health, unitFactor ?? 1)
  const bone = makeBone(mesh)
  if (!bone.ok) return bone
  context.progress(0.75, 'recognising the bone')
  const guess = guessBone(bone.value)
  const inspection = inspectMesh(read.value, name, health, guess.bone)
  context.progress(0.85, 'making the picture')
  const display = lightMesh(mesh)
  context.progress(1, 'done')
  for (const array of [mesh.positions, mesh.triangles, display.positions, display.normals])
    context.transfer(array.buffer)
  return ok({
    sha256: hash,
    name,
    format: read.value.format,
    mesh,
    unitFactor: unitFactor ?? 1,
    unitGuess: inspection.unitGuess,
    health,
    declaredTriangles: read.value.declaredTriangles,
    volumeMm3: bone.value.volumeMm3,
    areaMm2: (inspection.areaMm2 ?? 0) * (unitFactor ?? 1) ** 2,
    boxMm: [bone.value.box.min, bone.value.box.max],
    boneGuess: guess.bone,
    sideGuess: guess.side,
    confidence: guess.confidence,
    display,
    warnings: keptWarnings(inspection.warnings, unitFactor),
  })
}

/** A closed surface wound inside out is turned; lengths become mm. */
function outward(mesh: Mesh, health: MeshHealth, factor: number): Mesh {
  const scaled = factor === 1 ? mesh : scaleMesh(mesh, factor)
  if (health.orientation !== 'inward')
    return { positions: scaled.positions.slice(), triangles: scaled.triangles.slice() }
  return { positions: scaled.positions.slice(), triangles: flipWinding(scaled.triangles) }
}

/** Once a unit has been chosen, doubt about the unit is settled. */
function keptWarnings(warnings: readonly Warning[], unitFactor: number | null): readonly Warning[] {
  return unitFactor === null ? warnings : warnings.filter((warning) => !warning.code.startsWith('unit/'))
}
