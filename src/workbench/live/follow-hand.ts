import { meshKey } from '../../casefile/mesh-key.ts'
import type { WorkbenchState } from '../store/state.ts'
import type { Workbench } from '../workbench.ts'

/** Fits the chosen shape to what the hand has picked or painted, whenever that changes; the newest wish counts. */
export function followHand({ store, drawer }: Workbench): () => void {
  const fitAnew = async (state: WorkbenchState) => {
    const { handBone, handPoints: points, handBalls: balls, shape: kind, rejectBeyondSd } = state
    const mesh = handBone && state.history.present.meshes[handBone]
    if (!mesh || points.length + balls.length === 0) {
      store.setState({ handFit: null, handPatch: null })
      return
    }
    const input = { key: meshKey(mesh), points, balls, kind, rejectBeyondSd }
    const fitted = await drawer.run('fit-on-bone', input, { latest: 'fit-on-bone' })
    if (!fitted.ok && fitted.failure.code === 'job/cancelled') return
    if (store.getState().handBone === null) return
    store.setState(
      fitted.ok ? { handFit: fitted.value.fit, handPatch: fitted.value.patch } : { handFit: fitted, handPatch: null },
    )
  }
  return store.subscribe((state, before) => {
    const { femur, tibia } = state.history.present.meshes
    const old = before.history.present.meshes
    // Other bones, or another tool on another stage: what was picked belongs to the old ones.
    if ((femur !== old.femur || tibia !== old.tibia) && state.handBone !== null) {
      state.clearHand()
      return
    }
    const changed = followed.some((name) => state[name] !== before[name])
    if (changed) void fitAnew(state)
  })
}

const followed = ['handBone', 'handPoints', 'handBalls', 'shape', 'rejectBeyondSd'] as const
