import { useThree } from '@react-three/fiber'
import { useEffect, useRef } from 'react'
import { type DirectionalLight, type Group, Vector3 } from 'three'
import type { CameraRig } from './camera-rig.ts'

/** A key from over the viewer's left shoulder, a weak fill from the right, sky and ground; they turn with the viewer. */
export function Lights({ rig }: { readonly rig: CameraRig }) {
  const group = useRef<Group>(null)
  const key = useRef<DirectionalLight>(null)
  const invalidate = useThree((three) => three.invalidate)
  useEffect(() => {
    const follow = () => {
      const readout = rig.readout()
      const [right, up, eye] = [new Vector3(...readout.right), new Vector3(...readout.up), rig.direction()]
      group.current?.children.forEach((light, k) => {
        const [r, u, e] = offsets[k] ?? [0, 0, 1]
        light.position.set(0, 0, 0).addScaledVector(right, r).addScaledVector(up, u).addScaledVector(eye, e)
      })
      invalidate()
    }
    follow()
    return rig.listen(follow)
  }, [rig, invalidate])
  return (
    <>
      <hemisphereLight args={['#fffaf2', '#a1937c', 1.9]} />
      <group ref={group}>
        <directionalLight ref={key} intensity={1.75} color="#fff6e8" />
        <directionalLight intensity={0.5} color="#e6edf3" />
      </group>
    </>
  )
}

const offsets: readonly (readonly [number, number, number])[] = [
  [-0.75, 0.85, 0.75],
  [1, -0.1, 0.45],
]
