import { useFrame } from '@react-three/fiber'
import { type ReactNode, useRef } from 'react'
import { type Group, OrthographicCamera, type PerspectiveCamera, Vector3 } from 'three'
import type { Vec3 } from '../../geometry/vec.ts'

/** From this scale on, mm per pixel, marks shrink, so that those of a knee do not cover it in a whole leg. */
const wholeUpToMm = 0.6
const leastShare = 0.6

interface ConstantSizeProps {
  readonly at: Vec3
  readonly name?: string
  readonly children: ReactNode
}

/** A mark whose measures are pixels of the screen, however near one looks, and which faces the eye. */
export function ConstantSize({ at, name, children }: ConstantSizeProps) {
  const group = useRef<Group>(null)
  useFrame(({ camera, size }) => {
    const mm = mmPerPixelAt(at, camera as OrthographicCamera | PerspectiveCamera, size.height)
    group.current?.scale.setScalar(mm * Math.min(1, Math.max(leastShare, wholeUpToMm / mm)))
    group.current?.quaternion.copy(camera.quaternion)
  })
  return (
    <group ref={group} name={name ?? ''} position={at as [number, number, number]}>
      {children}
    </group>
  )
}

const place = new Vector3()

function mmPerPixelAt(at: Vec3, camera: OrthographicCamera | PerspectiveCamera, height: number): number {
  if (camera instanceof OrthographicCamera) return 1 / camera.zoom
  const distance = place.set(at[0], at[1], at[2]).distanceTo(camera.position)
  return (2 * distance * Math.tan((camera.fov * Math.PI) / 360)) / height
}
