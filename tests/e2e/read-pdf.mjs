import { extractText, getDocumentProxy } from 'unpdf'

/** The text of each page of a PDF, read by a library that has nothing to do with the one that wrote it. */
export async function readPdf(bytes) {
  const { text } = await extractText(await getDocumentProxy(new Uint8Array(bytes)), { mergePages: false })
  return text.map((page) => page.replace(/\s+/g, ' '))
}
