import { withText } from '../../report/png-text.ts'
import { caution } from '../text/messages.ts'

/** A drawing as PNG bytes, `enlargement` times its size, with the caution in the file; null where it cannot be drawn. */
export async function pngOfSvg(svg: string, enlargement: number): Promise<Uint8Array<ArrayBuffer> | null> {
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }))
  try {
    const picture = new Image()
    picture.src = url
    await picture.decode()
    const canvas = new OffscreenCanvas(picture.naturalWidth * enlargement, picture.naturalHeight * enlargement)
    const pen = canvas.getContext('2d')
    if (!pen) return null
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height)
    const blob = await canvas.convertToBlob({ type: 'image/png' })
    return withText(new Uint8Array(await blob.arrayBuffer()), 'Comment', caution)
  } catch {
    return null
  } finally {
    URL.revokeObjectURL(url)
  }
}
