import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'
import { landmarkBone } from '../store/landmark-bone.ts'
import { landmarkLabels } from '../text/messages.ts'
import { useWorkbench } from '../workbench.ts'
import { holderOf } from './holder.ts'
import { pickOnBones } from './pick-on-bones.ts'
import type { Placement } from './placement.ts'

/** On the landmarks stage, a click on the bone puts the chosen landmark there; the point is found on the full mesh. */
export function BonePicker({ placement }: { readonly placement: Placement }) {
  const workbench = useWorkbench()
  const { store } = workbench
  const { gl, camera } = useThree()
  useEffect(() => {
    const element = holderOf(gl)
    let downAt: readonly [number, number] = [0, 0]
    const down = (event: PointerEvent) => {
      downAt = [event.clientX, event.clientY]
    }
    const click = async (event: MouseEvent) => {
      if (event.defaultPrevented) return
      const state = store.getState()
      const id = state.activeLandmark
      if (
        state.stage !== 'landmarks' ||
        state.measuring ||
        !id ||
        Math.hypot(event.clientX - downAt[0], event.clientY - downAt[1]) > 3
      )
        return
      const hit = await pickOnBones(workbench, placement, event, element, camera, landmarkBone(id))
      if (!hit) return
      const mm = hit.inPatient
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
  }, [gl, camera, placement, workbench, store])
  return null
}
