import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'

/** The graphics context can be taken away by the system; once it is back, everything is drawn again. */
export function RedrawAfterLoss() {
  const { gl, invalidate } = useThree()
  useEffect(() => {
    const redraw = () => invalidate()
    gl.domElement.addEventListener('webglcontextrestored', redraw)
    return () => gl.domElement.removeEventListener('webglcontextrestored', redraw)
  }, [gl, invalidate])
  return null
}
