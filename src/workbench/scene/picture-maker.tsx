import { useThree } from '@react-three/fiber'
import { useEffect } from 'react'
import { type Object3D, Vector2 } from 'three'
import type { PictureOptions } from '../store/viewport-slice.ts'
import { useWorkbench } from '../workbench.ts'
import { pictureHead, pictureLegend } from './picture-legend.ts'
import { drawLabels } from './view-labels.ts'

/** Lets a command draw the view once more at another size and take it as a PNG, without its handles. */
export function PictureMaker() {
  const { store } = useWorkbench()
  const { gl, scene, camera, invalidate } = useThree()
  useEffect(() => {
    const drawPicture = async ({ enlargement, ground, labels }: PictureOptions): Promise<Blob | null> => {
      const size = gl.getSize(new Vector2())
      const ratio = gl.getPixelRatio()
      const most = gl.capabilities.maxTextureSize / (Math.max(size.x, size.y) * ratio)
      const scale = Math.min(enlargement, most)
      const handles = shownHandles(scene)
      for (const handle of handles) handle.visible = false
      gl.setPixelRatio(ratio * scale)
      gl.render(scene, camera)
      const { domElement } = gl
      const picture = new OffscreenCanvas(domElement.width, domElement.height)
      const pen = picture.getContext('2d')
      if (pen && ground === 'white') {
        pen.fillStyle = '#ffffff'
        pen.fillRect(0, 0, picture.width, picture.height)
      }
      // Before anything else is drawn: the canvas does not keep its picture.
      pen?.drawImage(domElement, 0, 0)
      for (const handle of handles) handle.visible = true
      gl.setPixelRatio(ratio)
      gl.setSize(size.x, size.y, false)
      invalidate()
      if (!pen) return null
      const state = store.getState()
      const words = { head: pictureHead(state), legend: pictureLegend(state) }
      if (labels) drawLabels(pen, domElement, picture.width / domElement.clientWidth, ground, words)
      return picture.convertToBlob({ type: 'image/png' })
    }
    store.setState({ drawPicture })
    return () => store.setState({ drawPicture: null })
  }, [gl, scene, camera, invalidate, store])
  return null
}

function shownHandles(scene: Object3D): readonly Object3D[] {
  const found: Object3D[] = []
  scene.traverseVisible((object) => {
    if (object.userData['handle'] === true) found.push(object)
  })
  return found
}
