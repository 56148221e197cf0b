import { caseExtension } from '../../casefile/container.ts'
import { caseInHand } from '../store/lesson-slice.ts'
import { viewNow } from '../store/view-now.ts'
import type { Workbench } from '../workbench.ts'
import { packCase } from './pack-case.ts'

/** Writes the case and its mesh files as one file: where it was saved before, or, `as` asked for, somewhere new. Tells whether it was saved. */
export async function saveCase(workbench: Workbench, as = false): Promise<boolean> {
  const { store, host } = workbench
  const { savedAs, notify } = store.getState()
  const document = caseInHand(store.getState())
  const packed = await packCase(workbench, { ...document, lastView: viewNow(store.getState(), '') })
  if (!packed.ok) {
    notify(packed.failure)
    return false
  }
  const saved = await host.save(fileName(document.name), packed.value, 'application/octet-stream', as ? null : savedAs)
  if (!saved.ok) {
    notify(saved.failure)
    return false
  }
  if (!saved.value) return false
  store.setState({ savedDocument: document, savedAs: saved.value.token })
  void host.discardRecovery(null)
  return true
}

const fileName = (name: string): string =>
  `${
    name
      .replaceAll(/[^\p{L}\p{N} _-]+/gu, '')
      .trim()
      .slice(0, 80) || 'case'
  }${caseExtension}`
