import { useThree } from '@react-three/fiber'
import { useEffect, useRef } from 'react'
import { Vector3 } from 'three'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { fit, presetDirection } from './camera-commands.ts'
import type { CameraRig } from './camera-rig.ts'
import type { Placement } from './placement.ts'
import { useActiveSheet } from './use-active-sheet.ts'

interface CameraHostProps {
  readonly rig: CameraRig
  readonly placement: Placement
}

/** Carries the store's wishes to the camera, and looks again when the scene becomes another one. */
export function CameraHost({ rig, placement }: CameraHostProps) {
  const { store } = useWorkbench()
  const { set, scene, size, invalidate } = useThree()
  const projection = useWorkbenchState((state) => state.projection)
  const request = useWorkbenchState((state) => state.cameraRequest)
  const haveBones = useWorkbenchState(
    (state) => `${state.history.present.meshes.femur?.sha256} ${state.history.present.meshes.tibia?.sha256}`,
  )
  const side = useWorkbenchState(
    (state) => state.findings?.side ?? state.femurAnatomy?.side ?? state.tibiaAnatomy?.side ?? 'right',
  )
  const sheet = useActiveSheet(placement)
  const now = useRef({ side, sheet })
  now.current = { side, sheet }

  useEffect(() => {
    rig.setProjection(projection)
    Object.assign(rig.camera, { manual: true })
    set({ camera: rig.camera })
    invalidate()
  }, [rig, projection, set, invalidate])

  useEffect(() => {
    rig.resize(size.width, size.height)
    invalidate()
  }, [rig, size, invalidate])

  useEffect(() => {
    if (!request) return
    const knee = now.current.sheet ? new Vector3(...now.current.sheet.centre) : new Vector3()
    if (request.kind === 'fit') {
      fit(rig, scene, request.what, knee)
      return
    }
    const direction = presetDirection(request.preset, now.current.side, now.current.sheet)
    if (direction) rig.goTo(rig.controls.target.clone(), direction, rig.visibleHeight())
  }, [rig, request, scene])

  // Another frame is another scene: a stale pivot would leave the bones out of sight.
  // biome-ignore lint/correctness/useExhaustiveDependencies: which bones are open and in which frame decides when to look again
  useEffect(() => {
    const { stage } = store.getState()
    const wait = requestAnimationFrame(() =>
      fit(rig, scene, stage === 'cuts' ? 'knee' : 'all', new Vector3(0, 30, 0), new Vector3(1, 0, 0)),
    )
    return () => cancelAnimationFrame(wait)
  }, [rig, scene, placement.frame, haveBones])
  return null
}
