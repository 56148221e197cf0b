import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'
import { distance, midpoint, type Vec3 } from '../../geometry/vec.ts'
import { formatQuantity } from '../text/format.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import type { SceneColours } from './colours.ts'
import { holderOf } from './holder.ts'
import { Line } from './line.tsx'
import { pickOnBones } from './pick-on-bones.ts'
import type { Placement } from './placement.ts'
import { useTag } from './use-tag.ts'

interface MeasureProps {
  readonly placement: Placement
  readonly colours: SceneColours
}

/** While measuring is on, two clicks on the bones give their distance; a third begins anew. */
export function Measure({ placement, colours }: MeasureProps) {
  const workbench = useWorkbench()
  const { store } = workbench
  const { gl, camera } = useThree()
  const measuring = useWorkbenchState((state) => state.measuring)
  const points = useWorkbenchState((state) => state.measured)
  useEffect(() => {
    if (!measuring) return
    const element = holderOf(gl)
    let downAt: readonly [number, number] = [0, 0]
    const down = (event: PointerEvent) => {
      downAt = [event.clientX, event.clientY]
    }
    const click = async (event: MouseEvent) => {
      if (Math.hypot(event.clientX - downAt[0], event.clientY - downAt[1]) > 3) return
      const hit = await pickOnBones(workbench, placement, event, element, camera)
      if (hit) store.getState().addMeasured(hit.inScene)
    }
    element.addEventListener('pointerdown', down)
    element.addEventListener('click', click)
    return () => {
      element.removeEventListener('pointerdown', down)
      element.removeEventListener('click', click)
    }
  }, [measuring, gl, camera, placement, workbench, store])
  // Points belong to the scene they were picked in.
  // biome-ignore lint/correctness/useExhaustiveDependencies: another placement is another scene
  useEffect(() => store.getState().clearMeasured(), [placement, store])
  const [a, b] = points
  return (
    <>
      {points.map((p) => (
        <mesh key={p.join()} position={p as [number, number, number]} renderOrder={8}>
          <sphereGeometry args={[1.6, 16, 12]} />
          <meshBasicMaterial color={colours.taken} depthTest={false} transparent />
        </mesh>
      ))}
      {a && b ? <Distance a={a} b={b} colour={colours.taken} /> : null}
    </>
  )
}

interface DistanceProps {
  readonly a: Vec3
  readonly b: Vec3
  readonly colour: string
}

function Distance({ a, b, colour }: DistanceProps) {
  useTag('distance', formatQuantity(distance(a, b), 'mm'), midpoint(a, b), a, always)
  return <Line points={[a, b]} colour={colour} />
}

const always = () => true
