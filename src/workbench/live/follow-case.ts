import type { BoneName, FemurAnatomy, TibiaAnatomy } from '../../anatomy/terms.ts'
import type { CaseDocument, MeshReference } from '../../casefile/document.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import type { Assessment, JobOutput, OpenedOtherLeg, Progress } from '../../engine/contract.ts'
import { type BoneParts, drawnPlan, type PlanParts } from '../../engine/plan-parts.ts'
import type { Failure, Result } from '../../failure.ts'
import { openedBone, openedOtherLeg } from '../store/bones-slice.ts'
import type { WorkbenchState } from '../store/state.ts'
import type { Workbench } from '../workbench.ts'
import { keepEqual } from './keep-equal.ts'
import { refuseStep } from './refuse-step.ts'
import { giveBone } from './spare-copies.ts'

/** After the last change, before what takes longer than a hand waits is begun. */
const settledAfterMs = 200

/** A calculation that takes longer is shown with its progress; what is over in a moment would only cost the hand time. */
const shownAfterMs = 600

/** The mark set when pieces and kept bones of a plan have come; the bench reads it. */
const partsShown = 'floorline parts'

/** Bones no longer in the case that the engine still keeps, so that going one step back is quick. */
const mostSpare = 2

/**
 * Keeps the shown results in step with the case: bones are handed to the engine when the case begins to use them, the
 * live numbers follow every change (the newest waits, the running one is let through), meshes to look at come after
 * them from a worker of their own, contact when the hand rests. Returns the function that stops it.
 */
export function followCase(workbench: Workbench): () => void {
  const { store, engine, drawer } = workbench
  const held = new Map<string, Promise<Result<unknown>>>()
  const drawn = new Set<string>()
  let heldOther: OpenedOtherLeg | null = null
  let generation = 0
  let settling: ReturnType<typeof setTimeout> | undefined
  let resting = new AbortController()
  /** The last case that could be planned. */
  let planned: CaseDocument | null = null
  let shownMeshes: CaseDocument['meshes'] = { femur: null, tibia: null }
  let refusedInHand: { readonly document: CaseDocument; readonly failure: Failure } | null = null
  let anatomy: { readonly id: string; readonly femur: FemurAnatomy; readonly tibia: TibiaAnatomy } | null = null

  const hold = (reference: MeshReference): Promise<Result<unknown>> => {
    const key = meshKey(reference)
    const known = held.get(key)
    if (known) return known
    const opened = store.getState().meshes[key]
    if (!opened) return Promise.resolve({ ok: true, value: null })
    if (!drawn.has(key)) void giveBone(drawer, { key, mesh: opened.mesh })
    drawn.add(key)
    const holding = giveBone(engine, { key, mesh: opened.mesh })
    held.set(key, holding)
    return holding
  }

  /** The other leg's own bones, for as long as the case stands beside them. */
  const holdOther = () => {
    const other = openedOtherLeg(store.getState())
    if (other === heldOther) return
    heldOther = other
    void engine.run('hold-other-leg', { bones: other?.bones ?? null })
  }

  /** Lets go of what was used longest ago; undo hands it over again. */
  const release = ({ meshes }: CaseDocument) => {
    const used = [meshes.femur, meshes.tibia].map((mesh) => mesh && meshKey(mesh))
    const spare = [...held.keys()].filter((key) => !used.includes(key))
    for (const key of spare.slice(0, -mostSpare)) {
      held.delete(key)
      void engine.run('drop-bone', { key })
      if (drawn.delete(key)) void drawer.run('drop-bone', { key })
    }
  }

  const follow = async (document: CaseDocument) => {
    const mine = ++generation
    const newest = () => mine === generation
    const { femur, tibia } = document.meshes
    clearTimeout(settling)
    resting.abort()
    forgetOthers(document)
    if (!femur && !tibia) {
      store.setState(nothing)
      return
    }
    const both = femur !== null && tibia !== null
    const { updating, partsUpdating } = store.getState()
    if (updating !== both || partsUpdating !== both) store.setState({ updating: both, partsUpdating: both })
    await Promise.all([femur, tibia].map((mesh) => (mesh ? hold(mesh) : null)))
    release(document)
    holdOther()
    if (!newest()) return
    if (!both) {
      store.setState({ ...withheld, failure: null, updating: false, partsUpdating: false })
      findBothLandmarks(document, newest)
      return
    }
    await assessLive(document, newest)
  }

  /** What was told of a bone that another one has taken the place of goes at once: no number or frame of it stands beside the new one. */
  const forgetOthers = ({ meshes }: CaseDocument) => {
    const old = { femur: sizedFile(shownMeshes.femur), tibia: sizedFile(shownMeshes.tibia) }
    const isOther = (bone: BoneName) => old[bone] !== null && old[bone] !== sizedFile(meshes[bone])
    shownMeshes = meshes
    if (isOther('femur')) store.setState({ ...withheld, femurAnatomy: null, femurFailure: null })
    if (isOther('tibia')) store.setState({ ...withheld, tibiaAnatomy: null, tibiaFailure: null })
  }

  const assessLive = async (document: CaseDocument, newest: () => boolean) => {
    const holdLandmarks = store.getState().landmarkInHand !== null
    const state = store.getState()
    const input = {
      document,
      fileWarnings: fileWarnings(state),
      depth: 'live',
      holdLandmarks,
      ...known(state),
    } as const
    const abort = new AbortController()
    let progress: Progress = { fraction: 0, stage: '' }
    let late = false
    const show = () => store.setState({ calculation: { progress, cancel } })
    const wait = setTimeout(() => {
      late = true
      show()
    }, shownAfterMs)
    const cancel = () => {
      // The worker is in the middle of it and does not look up: it is ended, and what it held goes with it.
      held.clear()
      heldOther = null
      abort.abort()
      store.setState({ ...withheld, failure: stopped, updating: false, partsUpdating: false })
    }
    const assessed = await engine.run('assess', input, {
      latest: 'assess',
      signal: abort.signal,
      endsWorkerOnCancel: true,
      onProgress: (told) => {
        progress = told
        if (late) show()
      },
    })
    clearTimeout(wait)
    if (isCancelled(assessed)) return
    const current = newest()
    const over = current ? ({ calculation: null } as const) : {}
    if (!assessed.ok) {
      if (current && refuseStep(workbench, planned, assessed.failure)) {
        store.setState(over)
        return
      }
      refusedInHand = { document, failure: assessed.failure }
      // In the middle of a pull the picture stays, so that the handle in hand does too; the numbers go.
      const picture = store.getState().history.gesture ? {} : { parts: null, plan: null }
      store.setState({
        ...over,
        findings: null,
        drawing: null,
        ...picture,
        failure: assessed.failure,
        updating: !current,
      })
      if (!current) return
      store.setState({ partsUpdating: false })
      findBothLandmarks(document, newest)
      return
    }
    planned = document
    refusedInHand = null
    store.setState({ ...over, ...shown(assessed.value), updating: !current })
    // Where a landmark is dragged whole bones are seen; the finder looks afresh when it is let go.
    if (holdLandmarks) return
    if (current) settle()
    const { plan } = assessed.value
    const seen = store.getState().parts
    const wish = { meshes: document.meshes, plan: drawnPlan(plan), shown: seen?.keys ?? null }
    const made = await drawer.run('plan-parts', wish, { latest: 'plan-parts' })
    if (isCancelled(made) || !store.getState().findings) return
    store.setState({
      parts: made.ok ? joined(made.value, seen) : null,
      partsFailure: made.ok ? null : made.failure,
      partsUpdating: !newest(),
    })
    performance.clearMarks(partsShown)
    performance.mark(partsShown)
  }

  const settle = () => {
    clearTimeout(settling)
    settling = setTimeout(assessInFull, settledAfterMs)
  }

  const assessInFull = async () => {
    const state = store.getState()
    // A lesson is one long gesture, but nothing is pulled in it.
    const pulling = (state.history.gesture !== null && state.lesson === null) || state.landmarkInHand !== null
    if (pulling || !state.findings || state.updating || state.depth === 'full') return
    const mine = generation
    const { present: document } = state.history
    const input = { document, fileWarnings: fileWarnings(state), depth: 'full', ...known(state) } as const
    resting = new AbortController()
    const assessed = await engine.run('assess', input, { latest: 'assess', signal: resting.signal })
    if (mine === generation && assessed.ok) store.setState(shown(assessed.value))
  }

  /** Frames and landmarks that the window still shows need not be sent again. */
  const known = ({ femurAnatomy, tibiaAnatomy }: WorkbenchState) => {
    const same = anatomy !== null && anatomy.femur === femurAnatomy && anatomy.tibia === tibiaAnatomy
    return { knownAnatomy: same ? anatomy!.id : null }
  }

  /** What the window shows of an answer. */
  const shown = ({ findings, drawing, plan, maps, depth, ...answer }: Assessment): Partial<WorkbenchState> => {
    if (answer.anatomy) anatomy = { id: answer.anatomyId, ...answer.anatomy }
    const found = answer.anatomy && { femurAnatomy: answer.anatomy.femur, tibiaAnatomy: answer.anatomy.tibia }
    const before = store.getState()
    return {
      findings: keepEqual(before.findings, findings),
      drawing: keepEqual(before.drawing, drawing),
      plan,
      maps: maps.length > 0 ? maps : noMaps,
      depth,
      ...found,
      failure: null,
      femurFailure: null,
      tibiaFailure: null,
    }
  }

  const findBothLandmarks = (document: CaseDocument, newest: () => boolean) => {
    for (const bone of ['femur', 'tibia'] as const) void findLandmarks(workbench, document, bone, newest)
  }

  let last: CaseDocument | null = null
  const onChange = (state: WorkbenchState, before: WorkbenchState) => {
    const document = state.history.present
    if (before.history.gesture && !state.history.gesture) {
      settle()
      // What was pulled to where nothing can be planned is taken back when it is let go.
      const refused = refusedInHand
      if (refused?.document === document && refuseStep(workbench, planned, refused.failure)) return
    }
    const letGo = before.landmarkInHand !== null && state.landmarkInHand === null
    if (document === last && !letGo && state.otherLeg === before.otherLeg) return
    last = document
    void follow(document)
  }
  onChange(store.getState(), store.getState())
  const stop = store.subscribe(onChange)
  return () => {
    clearTimeout(settling)
    stop()
  }
}

/** A file read in one unit; repairs leave the bone where it was. */
const sizedFile = (mesh: MeshReference | null): string | null => mesh && `${mesh.sha256} ${mesh.unitFactor}`

/** One list for all that have none, so that nothing looks changed. */
const noMaps: WorkbenchState['maps'] = []

const withheld = {
  findings: null,
  drawing: null,
  parts: null,
  partsFailure: null,
  plan: null,
  maps: noMaps,
  calculation: null,
} as const

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

const stopped: Failure = {
  code: 'job/cancelled',
  message: 'The calculation was cancelled.',
  hint: 'Any change begins it again.',
  place: null,
}

/** New parts of each bone, or those of it that were in sight already. */
function joined({ femur, tibia }: JobOutput<'plan-parts'>, seen: PlanParts | null): PlanParts {
  const of = (bone: BoneName, { parts }: BoneParts) => parts ?? seen?.parts.filter((part) => part.bone === bone) ?? []
  return { parts: [...of('femur', femur), ...of('tibia', tibia)], keys: { femur: femur.key, tibia: tibia.key } }
}

const fileWarnings = (state: WorkbenchState) =>
  (['femur', 'tibia'] as const).flatMap((bone) => openedBone(state, bone)?.fileWarnings ?? [])

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
