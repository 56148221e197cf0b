import type { BoneName } from '../../anatomy/terms.ts'
import type { CaseDocument, MeshReference } from '../../casefile/document.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import type { Failure, Result } from '../../failure.ts'
import type { WorkbenchState } from '../store/state.ts'
import type { Workbench } from '../workbench.ts'

/**
 * Keeps the shown results in step with the case: bones are handed to the engine when the case begins to use them, the
 * numbers follow every change (the newest waits, the running one is let through), meshes to look at come after them from
 * a worker of their own.
 * Returns the function that stops it.
 */
export function followCase(workbench: Workbench): () => void {
  const { store, engine, drawer } = workbench
  const held = new Map<string, Promise<Result<unknown>>>()
  let generation = 0

  const hold = (reference: MeshReference): Promise<Result<unknown>> => {
    const key = meshKey(reference)
    const known = held.get(key)
    if (known) return known
    const opened = store.getState().meshes[key]
    if (!opened) return Promise.resolve({ ok: true, value: null })
    void drawer.run('hold-bone', { key, mesh: opened.mesh })
    const holding = engine.run('hold-bone', { key, mesh: opened.mesh })
    held.set(key, holding)
    return holding
  }

  const follow = async (document: CaseDocument) => {
    const mine = ++generation
    const { femur, tibia } = document.meshes
    const newest = () => mine === generation
    if (!femur && !tibia) {
      store.setState(nothing)
      return
    }
    store.setState({ updating: femur !== null && tibia !== null, partsUpdating: femur !== null && tibia !== null })
    await Promise.all([femur, tibia].map((mesh) => (mesh ? hold(mesh) : null)))
    if (!newest()) return
    if (!femur || !tibia) {
      store.setState({ ...withheld, failure: null, updating: false, partsUpdating: false })
      findBothLandmarks(document, newest)
      return
    }
    const assessed = await engine.run('assess', { document }, { latest: 'assess' })
    if (isCancelled(assessed)) return
    const current = newest()
    if (assessed.ok) {
      store.setState({ ...assessed.value, failure: null, femurFailure: null, tibiaFailure: null, updating: !current })
    } else {
      // In the middle of a pull the picture stays, so that the handle in hand does too; the numbers go.
      const picture = store.getState().history.gesture ? {} : { parts: null, plan: null }
      store.setState({ findings: null, drawing: null, ...picture, failure: assessed.failure, updating: !current })
      if (!current) return
      store.setState({ partsUpdating: false })
      findBothLandmarks(document, newest)
      return
    }
    const { plan } = assessed.value
    const parts = await drawer.run('plan-parts', { meshes: document.meshes, plan }, { latest: 'plan-parts' })
    if (isCancelled(parts)) return
    if (store.getState().findings) store.setState({ parts: parts.ok ? parts.value : null, partsUpdating: !newest() })
  }

  const findBothLandmarks = (document: CaseDocument, newest: () => boolean) => {
    for (const bone of ['femur', 'tibia'] as const) void findLandmarks(workbench, document, bone, newest)
  }

  let last: CaseDocument | null = null
  const onChange = (state: WorkbenchState) => {
    const document = state.history.present
    if (document === last) return
    last = document
    void follow(document)
  }
  onChange(store.getState())
  return store.subscribe(onChange)
}

const withheld = { findings: null, drawing: null, parts: null, plan: null } as const

const nothing: Partial<WorkbenchState> = {
  ...withheld,
  failure: null,
  femurAnatomy: null,
  tibiaAnatomy: null,
  femurFailure: null,
  tibiaFailure: null,
  updating: false,
  partsUpdating: false,
}

async function findLandmarks(
  { store, engine }: Workbench,
  document: CaseDocument,
  bone: BoneName,
  newest: () => boolean,
): Promise<void> {
  const mesh = document.meshes[bone]
  const show = (anatomy: unknown, failure: Failure | null) =>
    store.setState({ [`${bone}Anatomy`]: anatomy, [`${bone}Failure`]: failure } as Partial<WorkbenchState>)
  if (!mesh) {
    show(null, null)
    return
  }
  const { references, landmarks: overrides } = document
  const found = await engine.run(
    'find-landmarks',
    { key: meshKey(mesh), bone, side: null, references, overrides },
    { latest: `landmarks ${bone}` },
  )
  if (isCancelled(found) || !newest()) return
  if (found.ok) show(found.value[bone], null)
  else show(null, found.failure)
}

const isCancelled = (result: Result<unknown>): boolean => !result.ok && result.failure.code === 'job/cancelled'
