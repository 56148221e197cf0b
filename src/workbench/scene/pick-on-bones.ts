import { type Camera, Raycaster, Vector2 } from 'three'
import { type BoneName, type FemurAnatomy, sideFactor, type TibiaAnatomy } from '../../anatomy/terms.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import { inverse, mapPoint, mapVector } from '../../geometry/rigid.ts'
import type { Snap } from '../../geometry/snap-on-surface.ts'
import { dot, scale, sub, type Vec3 } from '../../geometry/vec.ts'
import type { SnapWay } from '../store/hand-slice.ts'
import type { WorkbenchState } from '../store/state.ts'
import type { Workbench } from '../workbench.ts'
import { type Placement, sceneFrom } from './placement.ts'
import { plain } from './rigid-matrix.ts'

export interface BonePoint {
  readonly bone: BoneName
  readonly inPatient: Vec3
  readonly inScene: Vec3
}

export interface PickOptions {
  readonly only?: BoneName
  /** Drawn to the feature that the panel names; where there is none, a notice says so and nothing is picked. */
  readonly snapped?: boolean
}

/** The nearest point of either bone under the pointer, found on the full meshes; null where there is none. */
export async function pickOnBones(
  { store, drawer }: Workbench,
  placement: Placement,
  event: MouseEvent,
  element: HTMLElement,
  camera: Camera,
  { only, snapped = false }: PickOptions = {},
): Promise<BonePoint | null> {
  const bounds = element.getBoundingClientRect()
  const pointer = new Vector2(
    ((event.clientX - bounds.left) / bounds.width) * 2 - 1,
    1 - ((event.clientY - bounds.top) / bounds.height) * 2,
  )
  const caster = new Raycaster()
  caster.setFromCamera(pointer, camera)
  const origin = plain(caster.ray.origin)
  const direction = plain(caster.ray.direction)
  const state = store.getState()
  // A new try answers why the last one came to nothing.
  if (snapped) for (const { id, failure } of state.notices) if (failure.code === 'fit/degenerate') state.dismiss(id)
  const { meshes } = state.history.present
  const hits = await Promise.all(
    (['femur', 'tibia'] as const).map(async (bone): Promise<BonePoint | null> => {
      const mesh = meshes[bone]
      if (!mesh || (only && bone !== only)) return null
      const sceneFromBone = sceneFrom(placement, bone)
      const boneFromScene = inverse(sceneFromBone)
      const looking = mapVector(boneFromScene, direction)
      const picked = await drawer.run('pick', {
        key: meshKey(mesh),
        origin: mapPoint(boneFromScene, origin),
        direction: looking,
        snap: snapped ? snapOf(state, bone, looking) : null,
      })
      if (!picked.ok && snapped) store.getState().notify(picked.failure)
      const point = picked.ok ? picked.value.point : null
      return point && { bone, inPatient: point, inScene: mapPoint(sceneFromBone, point) }
    }),
  )
  const depth = (hit: BonePoint) => dot(sub(hit.inScene, origin), direction)
  return hits.filter((hit) => hit !== null).sort((a, b) => depth(a) - depth(b))[0] ?? null
}

/** The panel's choice as the engine wants it; grooves are deep as one looks at them. */
function snapOf(state: WorkbenchState, bone: BoneName, looking: Vec3): Snap | null {
  const { snapTo, snapWay, snapRadiusMm: radiusMm } = state
  if (snapTo === 'surface') return null
  if (snapTo === 'tip') return { kind: 'tip', radiusMm }
  if (snapTo === 'groove') return { kind: 'groove', radiusMm, direction: scale(looking, -1) }
  const anatomy = bone === 'femur' ? state.femurAnatomy : state.tibiaAnatomy
  return anatomy ? { kind: 'extreme', radiusMm, direction: wayOf(anatomy, snapWay) } : null
}

function wayOf({ frame, side }: FemurAnatomy | TibiaAnatomy, way: SnapWay): Vec3 {
  const s = sideFactor(side)
  switch (way) {
    case 'proximal':
      return frame.y
    case 'distal':
      return scale(frame.y, -1)
    case 'anterior':
      return frame.x
    case 'posterior':
      return scale(frame.x, -1)
    case 'medial':
      return scale(frame.z, -s)
    case 'lateral':
      return scale(frame.z, s)
  }
}
