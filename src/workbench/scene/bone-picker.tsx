import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'
import { Raycaster, Vector2 } from 'three'
import { meshKey } from '../../casefile/mesh-key.ts'
import { inverse, mapPoint, mapVector } from '../../geometry/rigid.ts'
import { landmarkBone } from '../store/landmark-bone.ts'
import { landmarkLabels } from '../text/messages.ts'
import { useWorkbench } from '../workbench.ts'
import type { Placement } from './placement.ts'
import { plain } from './rigid-matrix.ts'

/** On the landmarks stage, a click on the bone puts the chosen landmark there; the point is found on the full mesh. */
export function BonePicker({ placement }: { readonly placement: Placement }) {
  const { store, engine } = useWorkbench()
  const { gl, camera } = useThree()
  useEffect(() => {
    const element = gl.domElement
    let downAt: readonly [number, number] = [0, 0]
    const down = (event: PointerEvent) => {
      downAt = [event.clientX, event.clientY]
    }
    const click = async (event: MouseEvent) => {
      const state = store.getState()
      const id = state.activeLandmark
      if (state.stage !== 'landmarks' || !id || Math.hypot(event.clientX - downAt[0], event.clientY - downAt[1]) > 3)
        return
      const bone = landmarkBone(id)
      const mesh = state.history.present.meshes[bone]
      if (!mesh) return
      const bounds = element.getBoundingClientRect()
      const pointer = new Vector2(
        ((event.clientX - bounds.left) / bounds.width) * 2 - 1,
        1 - ((event.clientY - bounds.top) / bounds.height) * 2,
      )
      const caster = new Raycaster()
      caster.setFromCamera(pointer, camera)
      const boneFromScene = inverse(bone === 'femur' ? placement.sceneFromFemur : placement.sceneFromTibia)
      const picked = await engine.run('pick', {
        key: meshKey(mesh),
        origin: mapPoint(boneFromScene, plain(caster.ray.origin)),
        direction: mapVector(boneFromScene, plain(caster.ray.direction)),
      })
      if (!picked.ok || !picked.value.point) return
      const mm = picked.value.point
      store.getState().edit(`move ${landmarkLabels[id].toLowerCase()}`, (document) => ({
        ...document,
        landmarks: { ...document.landmarks, [id]: { mm, source: 'set' } },
      }))
    }
    element.addEventListener('pointerdown', down)
    element.addEventListener('click', click)
    return () => {
      element.removeEventListener('pointerdown', down)
      element.removeEventListener('click', click)
    }
  }, [gl, camera, placement, store, engine])
  return null
}
