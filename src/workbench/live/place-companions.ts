import type { CompanionName } from '../../anatomy/terms.ts'
import { companionsOf, withCompanions, withoutCompanion } from '../../casefile/companions.ts'
import type { CaseDocument } from '../../casefile/document.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import { companionLabels } from '../text/messages.ts'
import type { Workbench } from '../workbench.ts'

/** A file that is to be used as a companion. */
export interface AddedCompanion {
  readonly part: CompanionName
  readonly opened: OpenedMesh
}

/**
 * Uses files as companions of the case's knee, one step: all of them are measured again, those of the case too, so that no order of
 * opening matters. A file that cannot be used is said, and the others count. `instead`: what the added file was taken for until now.
 */
export async function placeCompanions(
  { store, engine }: Workbench,
  added: readonly AddedCompanion[],
  instead: CompanionName | null = null,
): Promise<void> {
  const { history, meshes } = store.getState()
  const document = history.present
  const kept = companionsOf(document).flatMap(({ part, file }) => {
    const opened = meshes[meshKey(file)]
    const stays = part !== instead && !added.some((other) => other.part === part)
    return opened && stays ? [{ part, opened }] : []
  })
  const companions = [...kept, ...added].map(({ part, opened }) => ({
    part,
    file: opened.reference,
    mesh: opened.mesh,
  }))
  if (companions.length === 0) return
  const measured = await engine.run('measure-companions', { document, companions })
  if (!measured.ok) {
    if (measured.failure.code !== 'job/cancelled') store.getState().notify(measured.failure)
    return
  }
  const { landmarks, failures } = measured.value
  for (const failure of failures) store.getState().notify(failure)
  const isRead = (name: CompanionName) => Object.values(landmarks).some(({ from }) => from?.part === name)
  if (instead !== null && !added.every(({ part }) => isRead(part))) return
  const next = (now: CaseDocument) => withCompanions(instead === null ? now : withoutCompanion(now, instead), landmarks)
  if (JSON.stringify(next(document).landmarks) === JSON.stringify(document.landmarks)) return
  const names = added.map(({ part }) => companionLabels[part].toLowerCase()).join(', ')
  const step = added.length > 0 ? `open ${names}` : 'hip and ankle files read beside the knee'
  store.getState().edit(step, next)
}
