import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'
import { Raycaster, Vector2 } from 'three'
import { distance, type Vec3 } from '../../geometry/vec.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import type { CameraRig } from './camera-rig.ts'
import { holderOf } from './holder.ts'
import { pickOnBones } from './pick-on-bones.ts'
import type { Placement } from './placement.ts'

interface BrushProps {
  readonly rig: CameraRig
  readonly placement: Placement
}

/** While painting, a stroke that begins on a bone paints it; one that begins beside it turns the view as ever. */
export function Brush({ rig, placement }: BrushProps) {
  const workbench = useWorkbench()
  const { store } = workbench
  const { gl, camera, scene } = useThree()
  const painting = useWorkbenchState(
    (state) => state.stage === 'landmarks' && state.handTool === 'paint' && !state.measuring,
  )
  useEffect(() => {
    if (!painting) return
    const element = holderOf(gl)
    let held = false
    /** Which stroke a pick belongs to: one that comes back after its end still counts, one of an older stroke does not. */
    let stroke = 0
    let last: Vec3 | null = null
    let picking = false
    const onBone = (event: PointerEvent): boolean => {
      const bounds = element.getBoundingClientRect()
      const pointer = new Vector2(
        ((event.clientX - bounds.left) / bounds.width) * 2 - 1,
        1 - ((event.clientY - bounds.top) / bounds.height) * 2,
      )
      const caster = new Raycaster()
      caster.setFromCamera(pointer, camera)
      return caster.intersectObjects(scene.children, true).some((hit) => hit.object.userData['bone'] === true)
    }
    const touch = async (event: PointerEvent) => {
      if (picking) return
      picking = true
      const mine = stroke
      const bone = store.getState().handBone
      const hit = await pickOnBones(workbench, placement, event, element, camera, bone ? { only: bone } : {})
      picking = false
      if (!hit || mine !== stroke) return
      const { brushMm, addHandBall } = store.getState()
      if (last && distance(last, hit.inPatient) < brushMm / 3) return
      last = hit.inPatient
      addHandBall(hit.bone, { centre: hit.inPatient, radiusMm: brushMm })
    }
    const down = (event: PointerEvent) => {
      if (event.button !== 0 || event.shiftKey || !onBone(event)) return
      // Before the controls take the pointer for a turn.
      rig.controls.enabled = false
      held = true
      stroke += 1
      last = null
      store.getState().beginHandStroke()
      void touch(event)
    }
    const move = (event: PointerEvent) => {
      if (held) void touch(event)
    }
    const up = () => {
      if (!held) return
      held = false
      rig.controls.enabled = true
    }
    element.addEventListener('pointerdown', down, { capture: true })
    element.addEventListener('pointermove', move)
    window.addEventListener('pointerup', up)
    window.addEventListener('pointercancel', up)
    return () => {
      rig.controls.enabled = true
      element.removeEventListener('pointerdown', down, { capture: true })
      element.removeEventListener('pointermove', move)
      window.removeEventListener('pointerup', up)
      window.removeEventListener('pointercancel', up)
    }
  }, [painting, gl, camera, scene, rig, placement, workbench, store])
  return null
}
