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
