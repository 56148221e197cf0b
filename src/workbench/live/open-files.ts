import type { BoneName } from '../../anatomy/terms.ts'
import { caseExtension } from '../../casefile/container.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import { fail } from '../../failure.ts'
import type { Workbench } from '../workbench.ts'
import { openCaseFile } from './open-case-file.ts'
import { placed, readMeshFile } from './read-mesh-file.ts'

const sure = 0.6

/**
 * Opens any number of files: each mesh is read and inspected, then takes its place by its shape; where shape or unit do
 * not settle themselves the window asks. A file that cannot be used leaves everything else as it was. A case file
 * opens as the case.
 */
export async function openFiles(workbench: Workbench, files: readonly File[]): Promise<void> {
  const isCase = (file: File) => file.name.toLowerCase().endsWith(caseExtension)
  const cases = files.filter(isCase)
  const first = cases[0]
  if (first) await openCaseFile(workbench, first)
  const meshes = files.filter((file) => !isCase(file))
  const reading = { unitFactor: null, repairs: [] }
  const read = await Promise.all(meshes.map((file) => readMeshFile(workbench, file, { name: file.name, ...reading })))
  placeBones(
    workbench,
    read.filter((opened) => opened !== null),
  )
}

function placeBones({ store }: Workbench, opened: readonly OpenedMesh[]): void {
  const taken = new Set<BoneName>()
  for (const mesh of opened) {
    const { boneGuess: bone, unitGuess } = mesh
    const doubtfulUnit = unitGuess !== 'mm' && unitGuess !== 'unknown'
    if (mesh.mesh.triangles.length === 0) {
      store.getState().notify(placed(fail('mesh/no-faces', 'The file has no faces.').failure, mesh.reference.name))
    } else if (bone !== 'unknown' && mesh.confidence >= sure && !taken.has(bone) && !doubtfulUnit) {
      taken.add(bone)
      store.getState().useBone(bone, mesh)
    } else {
      store.getState().ask({ opened: mesh, about: doubtfulUnit ? 'unit' : 'bone' })
    }
  }
}
