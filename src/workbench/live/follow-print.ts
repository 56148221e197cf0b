import type { Workbench } from '../workbench.ts'

const onPaper = 'Rehearsal expectation'

/** While the page is printed its title, which printers and PDF files carry along, names no case unless that was asked for. */
export function followPrint({ store }: Workbench): () => void {
  let title: string | null = null
  const before = () => {
    if (store.getState().namesInExports) return
    title ??= document.title
    document.title = onPaper
  }
  const after = () => {
    if (title !== null) document.title = title
    title = null
  }
  window.addEventListener('beforeprint', before)
  window.addEventListener('afterprint', after)
  return () => {
    window.removeEventListener('beforeprint', before)
    window.removeEventListener('afterprint', after)
  }
}
