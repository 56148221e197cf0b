import { useThree } from '@react-three/fiber'
import { useEffect, useState } from 'react'
import type { Vec3 } from '../../geometry/vec.ts'
import type { CameraRig } from './camera-rig.ts'
import type { SceneColours } from './colours.ts'
import { ConstantSize } from './constant-size.tsx'
import { plain } from './rigid-matrix.ts'

interface PivotMarkProps {
  readonly rig: CameraRig
  readonly colours: SceneColours
}

/** While the view is turned or moved, the point it turns about. */
export function PivotMark({ rig, colours }: PivotMarkProps) {
  const invalidate = useThree((three) => three.invalidate)
  const [at, setAt] = useState<Vec3 | null>(null)
  useEffect(() => {
    let moving = false
    const start = () => {
      moving = true
    }
    const end = () => {
      moving = false
      setAt(null)
      invalidate()
    }
    rig.controls.addEventListener('start', start)
    rig.controls.addEventListener('end', end)
    const stop = rig.listen(() => {
      if (moving) setAt(plain(rig.controls.target))
    })
    return () => {
      stop()
      rig.controls.removeEventListener('start', start)
      rig.controls.removeEventListener('end', end)
    }
  }, [rig, invalidate])
  if (!at) return null
  return (
    <ConstantSize at={at} name="pivot">
      {[0, Math.PI / 2].map((turn) => (
        <mesh key={turn} rotation={[0, 0, turn]} renderOrder={9}>
          <planeGeometry args={[16, 1.5]} />
          <meshBasicMaterial color={colours['ink-soft']} depthTest={false} transparent opacity={0.8} />
        </mesh>
      ))}
    </ConstantSize>
  )
}
