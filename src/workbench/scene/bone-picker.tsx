import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'
import { boneOfLandmark } from '../../anatomy/terms.ts'
import { landmarkLabels } from '../text/messages.ts'
import { useWorkbench } from '../workbench.ts'
import { holderOf } from './holder.ts'
import { pickOnBones } from './pick-on-bones.ts'
import type { Placement } from './placement.ts'

/** On the landmarks stage, a click puts the chosen landmark there or adds a point, on the full mesh and drawn to a feature if asked. */
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
      const moved = Math.hypot(event.clientX - downAt[0], event.clientY - downAt[1])
      const state = store.getState()
      if (event.defaultPrevented || moved > 3 || state.stage !== 'landmarks' || state.measuring) return
      if (state.handTool === 'points') {
        const hit = await pickOnBones(workbench, placement, event, element, camera, {
          snapped: true,
          ...(state.handBone ? { only: state.handBone } : {}),
        })
        if (hit) store.getState().addHandPoint(hit.bone, hit.inPatient)
        return
      }
      const id = state.activeLandmark
      if (state.handTool !== 'landmark' || !id) return
      const options = { snapped: true, only: boneOfLandmark(id) }
      const hit = await pickOnBones(workbench, placement, event, element, camera, options)
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
