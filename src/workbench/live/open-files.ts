import type { BoneName, CompanionName } from '../../anatomy/terms.ts'
import { caseExtension } from '../../casefile/container.ts'
import { lessonExtension } from '../../casefile/lesson-file.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import { fail } from '../../failure.ts'
import { text } from '../text/messages.ts'
import type { Workbench } from '../workbench.ts'
import { openCaseFile } from './open-case-file.ts'
import { openLessonFile } from './open-lesson-file.ts'
import { type AddedCompanion, placeCompanions } from './place-companions.ts'
import { placed, readMeshFile } from './read-mesh-file.ts'

const sure = 0.6

/**
 * Opens any number of files: each mesh is read and inspected, then takes its place by its shape; where shape or unit do
 * not settle themselves the window asks. A file that cannot be used leaves everything else as it was. A case file
 * opens as the case, the first of several; a lesson joins the case's own.
 */
export async function openFiles(workbench: Workbench, files: readonly File[]): Promise<void> {
  // A lesson gives the case back first: what is opened belongs to the case.
  if (files.length > 0 && workbench.store.getState().lesson) workbench.store.getState().endLesson()
  const endsWith = (ending: string) => (file: File) => file.name.toLowerCase().endsWith(ending)
  const [isCase, isLesson] = [endsWith(caseExtension), endsWith(lessonExtension)]
  const [first, ...others] = files.filter(isCase)
  if (first) await openCaseFile(workbench, first)
  if (others.length > 0) workbench.store.getState().notify(oneCaseOnly(first!, others))
  const meshes = files.filter((file) => !isCase(file) && !isLesson(file))
  for (const lesson of files.filter(isLesson)) await openLessonFile(workbench, lesson)
  const reading = { unitFactor: null, repairs: [] }
  const read = await Promise.all(meshes.map((file) => readMeshFile(workbench, file, { name: file.name, ...reading })))
  await placeMeshes(
    workbench,
    read.filter((opened) => opened !== null),
  )
}

const oneCaseOnly = (first: File, others: readonly File[]) =>
  fail('format/unsupported', text.oneCaseOnly(first.name), {
    hint: text.oneCaseHint,
    place: others.map(({ name }) => name).join(', '),
  }).failure

/** A file that holds several parts of a leg is opened once per part, each as one piece of it. */
async function slabBySlab(workbench: Workbench, opened: readonly OpenedMesh[]): Promise<readonly OpenedMesh[]> {
  const { sources } = workbench.store.getState()
  const meshes = await Promise.all(
    opened.map(async (mesh) => {
      const { name, sha256, unitFactor } = mesh.reference
      const file = sources[sha256]
      if (mesh.parts.length === 0 || !file) return [mesh]
      const pieces = mesh.parts.map(({ rank }) => ({ kind: 'keep-piece', rank }) as const)
      const read = pieces.map((piece) => readMeshFile(workbench, file, { name, unitFactor, repairs: [piece] }))
      return (await Promise.all(read)).filter((part) => part !== null)
    }),
  )
  return meshes.flat()
}

/** Gives every mesh its place by its shape, bones before the companions that are measured beside them; asks where shape or unit leave it open. */
export async function placeMeshes(
  workbench: Workbench,
  opened: readonly OpenedMesh[],
  { unitSaid } = { unitSaid: false },
): Promise<void> {
  const { store } = workbench
  const taken = new Set<BoneName | CompanionName>()
  const companions: AddedCompanion[] = []
  for (const mesh of await slabBySlab(workbench, opened)) {
    const { boneGuess: bone, companionGuess: part, unitGuess } = mesh
    const doubtfulUnit = !unitSaid && unitGuess !== 'mm' && unitGuess !== 'unknown'
    const settled = mesh.confidence >= sure && !doubtfulUnit
    if (mesh.mesh.triangles.length === 0) {
      store.getState().notify(placed(fail('mesh/no-faces', 'The file has no faces.').failure, mesh.reference.name))
    } else if (bone !== 'unknown' && settled && !taken.has(bone)) {
      taken.add(bone)
      store.getState().useBone(bone, mesh)
    } else if (part !== null && settled && !taken.has(part)) {
      taken.add(part)
      companions.push({ part, opened: mesh })
    } else {
      store.getState().ask({ opened: mesh, about: doubtfulUnit ? 'unit' : 'bone' })
    }
  }
  if (companions.length > 0 || taken.size > 0) await placeCompanions(workbench, companions)
}
