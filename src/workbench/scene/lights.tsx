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
    rig.controls.addEventListener('change', follow)
    return () => rig.controls.removeEventListener('change', follow)
  }, [rig, invalidate])
  return (
    <>
      <hemisphereLight args={['#fff8ec', '#8f8676', 1.15]} />
      <group ref={group}>
        <directionalLight ref={key} intensity={2.1} color="#fff4e2" />
        <directionalLight intensity={0.55} color="#dfe9f2" />
      </group>
    </>
  )
}

const offsets: readonly (readonly [number, number, number])[] = [
  [-0.75, 0.85, 0.75],
  [1, -0.1, 0.45],
]
