import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'
import { Vector3 } from 'three'
import { useWorkbench } from '../workbench.ts'
import type { CameraRig } from './camera-rig.ts'
import { holderOf } from './holder.ts'
import { pickOnBones } from './pick-on-bones.ts'
import type { Placement } from './placement.ts'

interface PivotProps {
  readonly rig: CameraRig
  readonly placement: Placement
}

/** A double click on a bone makes that point the one the view turns about. */
export function PivotByDoubleClick({ rig, placement }: PivotProps) {
  const workbench = useWorkbench()
  const { gl, camera } = useThree()
  useEffect(() => {
    const element = holderOf(gl)
    const turnAbout = async (event: MouseEvent) => {
      const hit = await pickOnBones(workbench, placement, event, element, camera)
      if (hit) rig.goTo({ ...rig.viewpoint(), target: new Vector3(...hit.inScene) })
    }
    element.addEventListener('dblclick', turnAbout)
    return () => element.removeEventListener('dblclick', turnAbout)
  }, [gl, camera, rig, placement, workbench])
  return null
}
