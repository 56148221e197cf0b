import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'
import { Vector2 } from 'three'
import { useWorkbench } from '../workbench.ts'

/** Lets a command draw the view once more at another size and take it as a PNG with a transparent ground. */
export function PictureMaker() {
  const { store } = useWorkbench()
  const { gl, scene, camera, invalidate } = useThree()
  useEffect(() => {
    const drawPicture = (enlargement: number): Promise<Blob | null> => {
      const size = gl.getSize(new Vector2())
      const ratio = gl.getPixelRatio()
      gl.setPixelRatio(ratio * enlargement)
      gl.render(scene, camera)
      return new Promise((resolve) => {
        gl.domElement.toBlob((blob) => {
          gl.setPixelRatio(ratio)
          gl.setSize(size.x, size.y, false)
          invalidate()
          resolve(blob)
        }, 'image/png')
      })
    }
    store.setState({ drawPicture })
    return () => store.setState({ drawPicture: null })
  }, [gl, scene, camera, invalidate, store])
  return null
}
