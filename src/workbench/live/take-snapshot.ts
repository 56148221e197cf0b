import { fail } from '../../failure.ts'
import { caution } from '../text/messages.ts'
import type { Workbench } from '../workbench.ts'

/** Twice the pixels of the screen: enough for a slide, and within every graphics card's reach. */
const enlargement = 2

/** Draws the view once more, larger, and saves it as a PNG that carries the caution. */
export async function takeSnapshot({ store, host }: Workbench): Promise<void> {
  const draw = store.getState().drawPicture
  const picture = draw ? await draw(enlargement) : null
  if (!picture) {
    store.getState().notify(fail('file/unreadable', 'There is no picture of the view to save.').failure)
    return
  }
  const bytes = withText(new Uint8Array(await picture.arrayBuffer()), 'Comment', caution)
  const saved = await host.save('floorline-view.png', bytes, 'image/png')
  if (!saved.ok) store.getState().notify(saved.failure)
}

/** The PNG with one text chunk after its header (ISO/IEC 15948, tEXt; Latin-1). */
export function withText(png: Uint8Array<ArrayBuffer>, keyword: string, words: string): Uint8Array<ArrayBuffer> {
  const headerEnd = 33
  const body = Uint8Array.from(`tEXt${keyword}\0${words}`, (letter) => Math.min(255, letter.charCodeAt(0)))
  const chunk = new Uint8Array(body.length + 8)
  const view = new DataView(chunk.buffer)
  view.setUint32(0, body.length - 4)
  chunk.set(body, 4)
  view.setUint32(body.length + 4, crc32(body))
  const out = new Uint8Array(png.length + chunk.length)
  out.set(png.subarray(0, headerEnd))
  out.set(chunk, headerEnd)
  out.set(png.subarray(headerEnd), headerEnd + chunk.length)
  return out
}

/** CRC-32 of ISO 3309, as PNG asks for. */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff
  for (const byte of bytes) {
    crc ^= byte
    for (let bit = 0; bit < 8; bit++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0)
  }
  return (crc ^ 0xffffffff) >>> 0
}
