import { fileParts } from '../../anatomy/file-parts.ts'
import { guessBone } from '../../anatomy/guess-bone.ts'
import { caseBone } from '../../casefile/case-bone.ts'
import { sha256 } from '../../casefile/hash.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import { fail, ok, type Result, type Warning } from '../../failure.ts'
import { inspectMesh } from '../../formats/inspect.ts'
import { plural } from '../../formats/mesh-file.ts'
import { readMeshAsync } from '../../formats/read.ts'
import type { BoneMesh } from '../../geometry/bone.ts'
import { boundInside } from '../../geometry/bounded-bone.ts'
import { principalExtents } from '../../geometry/extents.ts'
import { type MeshHealth, meshHealth } from '../../geometry/health.ts'
import { proposeRepairs } from '../../geometry/repair.ts'
import { guessUnit } from '../../geometry/units.ts'
import type { JobContext, JobInput, OpenedMesh } from '../contract.ts'
import { lightMesh } from '../light-mesh.ts'

/** The window keeps one; one is for the worker of the numbers, one for the worker of the picture. */
const copiesMade = 2

/** Reads one file as the case means it, inspects it, and makes the copy that is looked at. */
export async function openMesh(input: JobInput<'open-mesh'>, context: JobContext): Promise<Result<OpenedMesh>> {
  const { file, name, unitFactor, repairs } = input
  context.progress(0, 'reading')
  const bytes = new Uint8Array(await file.arrayBuffer())
  const reference = { sha256: await sha256(bytes), name, unitFactor: unitFactor ?? 1, repairs }
  const { signal } = context
  const read = await readMeshAsync(bytes, name, {
    signal,
    onProgress: (fraction) => context.progress(0.05 + 0.5 * fraction, 'reading'),
  })
  if (!read.ok) return read
  if (await isCancelled(context, 0.6, 'checking the surface')) return cancelled(name)
  const made = caseBone(read.value.mesh, reference)
  if (!made.ok) return made
  const { bone, warnings: turned } = made.value
  const mesh = { positions: made.value.mesh.positions.slice(), triangles: made.value.mesh.triangles.slice() }
  if (await isCancelled(context, 0.65, 'checking the surface')) return cancelled(name)
  const health = meshHealth(mesh)
  if (await isCancelled(context, 0.7, 'looking for repairs')) return cancelled(name)
  const proposals = proposeRepairs(mesh)
  if (await isCancelled(context, 0.8, 'recognising the bone')) return cancelled(name)
  const guess = guessBone(bone)
  const inspection = inspectMesh({ ...read.value, mesh }, name, health, guess.bone)
  const extentsInFile = principalExtents(read.value.mesh.positions)
  const unitGuess = guessUnit(extentsInFile, guess.bone)
  if (await isCancelled(context, 0.9, 'making the picture')) return cancelled(name)
  const display = lightMesh(mesh)
  context.progress(1, 'done')
  const copies = Array.from({ length: copiesMade }, () => ({
    positions: mesh.positions.slice(),
    triangles: mesh.triangles.slice(),
  }))
  for (const { positions, triangles } of [mesh, ...copies]) {
    context.transfer(positions.buffer)
    context.transfer(triangles.buffer)
  }
  for (const array of [display.positions, display.normals]) context.transfer(array.buffer)
  return ok({
    key: meshKey(reference),
    reference,
    format: read.value.format,
    mesh,
    copies,
    unitGuess,
    extentsInFile,
    health,
    proposals,
    declaredTriangles: read.value.declaredTriangles,
    volumeMm3: bone.volumeMm3,
    volumeBoundMm3: boundInside(bone, []),
    areaMm2: inspection.areaMm2 ?? 0,
    boxMm: [bone.box.min, bone.box.max],
    boneGuess: guess.bone,
    sideGuess: guess.side,
    companionGuess: guess.companion,
    confidence: guess.confidence,
    parts: repairs.length === 0 && health.pieces > 1 ? fileParts(mesh) : [],
    display,
    fileWarnings: [...read.value.warnings, ...turned],
    warnings: [...doubts(aboutSurface(inspection.warnings, bone, health), unitFactor), ...turned],
  })
}

/** A used bone whose holes have stand-ins keeps its volume, with a bound. */
const aboutSurface = (warnings: readonly Warning[], bone: BoneMesh, health: MeshHealth): readonly Warning[] =>
  bone.missing === null
    ? warnings
    : warnings.map((warning) =>
        warning.code === 'mesh/open'
          ? {
              code: 'mesh/open-bounded',
              message: `The surface is open: ${plural(health.boundaryEdges, 'boundary edge')} in ${plural(health.boundaryLoops.length, 'loop')}. Patches stand in for what is missing; volumes carry a bound (±).`,
              spoils: [],
            }
          : warning,
      )

/** Once a unit has been chosen, doubt about the unit is settled. */
const doubts = (warnings: readonly Warning[], unitFactor: number | null): readonly Warning[] =>
  unitFactor === null ? warnings : warnings.filter((warning) => !warning.code.startsWith('unit/'))

/** Lets a waiting cancellation through before the next stage begins. */
async function isCancelled({ progress, signal }: JobContext, fraction: number, stage: string): Promise<boolean> {
  progress(fraction, stage)
  await new Promise((resolve) => setTimeout(resolve, 0))
  return signal.aborted
}

const cancelled = (name: string) => fail('job/cancelled', `Reading ${name} was cancelled.`)
