import { useFrame } from '@react-three/fiber'
import { useRef } from 'react'

/** Counts drawn frames on the canvas itself, so that a test can see that nothing is drawn while nothing changes. */
export function FrameCount() {
  const frames = useRef(0)
  useFrame(({ gl }) => {
    frames.current += 1
    gl.domElement.dataset['frames'] = String(frames.current)
  })
  return null
}
