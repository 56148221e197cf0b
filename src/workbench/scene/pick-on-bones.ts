import { type Camera, Raycaster, Vector2 } from 'three'
import type { BoneName } from '../../anatomy/terms.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import { inverse, mapPoint, mapVector } from '../../geometry/rigid.ts'
import { dot, sub, type Vec3 } from '../../geometry/vec.ts'
import type { Workbench } from '../workbench.ts'
import type { Placement } from './placement.ts'
import { plain } from './rigid-matrix.ts'

export interface BonePoint {
  readonly bone: BoneName
  readonly inPatient: Vec3
  readonly inScene: Vec3
}

/** The nearest point of either bone, or of `only` that one, under the pointer, found on the full meshes; null where there is none. */
export async function pickOnBones(
  { store, engine }: Workbench,
  placement: Placement,
  event: MouseEvent,
  element: HTMLElement,
  camera: Camera,
  only?: BoneName,
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
  const { meshes } = store.getState().history.present
  const hits = await Promise.all(
    (['femur', 'tibia'] as const).map(async (bone): Promise<BonePoint | null> => {
      const mesh = meshes[bone]
      if (!mesh || (only && bone !== only)) return null
      const sceneFromBone = bone === 'femur' ? placement.sceneFromFemur : placement.sceneFromTibia
      const boneFromScene = inverse(sceneFromBone)
      const picked = await engine.run('pick', {
        key: meshKey(mesh),
        origin: mapPoint(boneFromScene, origin),
        direction: mapVector(boneFromScene, direction),
      })
      const point = picked.ok ? picked.value.point : null
      return point && { bone, inPatient: point, inScene: mapPoint(sceneFromBone, point) }
    }),
  )
  const depth = (hit: BonePoint) => dot(sub(hit.inScene, origin), direction)
  return hits.filter((hit) => hit !== null).sort((a, b) => depth(a) - depth(b))[0] ?? null
}
