import { parseCaseText } from '../casefile/schema.ts'
import { fail, ok, type Result } from '../failure.ts'
import { discardRecovery, keepRecovery, recovered, recoveries } from './browser-recovery.ts'
import type { DemoEntry, DemoFiles, Host, SavedFile } from './host.ts'
import { forgetRows, keepRow, knownRows } from './study-rows.ts'

const meshTypes = '.stl,.ply,.floorline,.floorlesson'
const tableTypes = '.csv,.json'

/** The program in a browser window: the page's own dialogs, downloads and print. */
export const browserHost = (): Host => ({
  kind: 'browser',
  chooseFiles,
  save,
  demos,
  demo,
  // A page may not open a file again by itself.
  recent: async () => [],
  reopen: async () => fail('file/unreadable', 'A browser does not let a page open a file again.'),
  forgetRecent: async () => {},
  keepRecovery,
  recoveries,
  recovered,
  discardRecovery,
  knownRows,
  keepRow,
  forgetRows,
  setUnsaved,
  print: async () => {
    window.print()
    return ok(undefined)
  },
  savePdf: null,
  copyPicture,
  setFullScreen,
})

function chooseFiles(what: 'any' | 'table' = 'any'): Promise<readonly File[]> {
  const input = document.createElement('input')
  input.type = 'file'
  input.multiple = true
  input.accept = what === 'table' ? tableTypes : meshTypes
  input.hidden = true
  // In the page while the dialog is open: nothing else would keep it from being collected.
  document.body.append(input)
  return new Promise((resolve) => {
    const answer = (files: readonly File[]) => {
      input.remove()
      resolve(files)
    }
    input.addEventListener('change', () => answer([...(input.files ?? [])]))
    input.addEventListener('cancel', () => answer([]))
    input.click()
  })
}

async function save(
  name: string,
  bytes: Uint8Array<ArrayBuffer> | string,
  type: string,
): Promise<Result<SavedFile | null>> {
  const url = URL.createObjectURL(new Blob([bytes], { type }))
  const link = document.createElement('a')
  link.href = url
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(url), 10_000)
  return ok({ token: null })
}

async function demos(): Promise<Result<readonly DemoEntry[]>> {
  const index = await read('demo/index.json')
  if (!index.ok) return index
  try {
    return ok(JSON.parse(await index.value.text()) as DemoEntry[])
  } catch {
    return fail('case/syntax', 'The list of demo cases cannot be read.')
  }
}

async function demo(id: string): Promise<Result<DemoFiles>> {
  const [femur, tibia, choices] = await Promise.all([
    read(`demo/${id}/femur.ply`),
    read(`demo/${id}/tibia.ply`),
    read(`demo/${id}/case.json`),
  ])
  if (!femur.ok) return femur
  if (!tibia.ok) return tibia
  const document = choices.ok ? parseCaseText(await choices.value.text()) : choices
  if (!document.ok) return document
  return ok({
    femur: asFile(femur.value, 'femur.ply'),
    tibia: asFile(tibia.value, 'tibia.ply'),
    choices: document.value,
  })
}

const asFile = (blob: Blob, name: string): File => new File([blob], name)

async function read(path: string): Promise<Result<Blob>> {
  try {
    const response = await fetch(new URL(path, document.baseURI))
    if (response.ok) return ok(await response.blob())
  } catch {
    // An unreachable file and a missing one mean the same here.
  }
  return fail('file/unreadable', `${path} is not there.`, {
    hint: 'Build the demo cases by starting the program with its start command.',
  })
}

async function copyPicture(png: Uint8Array<ArrayBuffer>): Promise<Result<void>> {
  try {
    await navigator.clipboard.write([new ClipboardItem({ 'image/png': new Blob([png], { type: 'image/png' }) })])
    return ok(undefined)
  } catch {
    return fail('file/unreadable', 'The picture could not be put on the clipboard.', {
      hint: 'Save it as a file instead.',
    })
  }
}

function setFullScreen(on: boolean): void {
  // A page may fill the screen only while the user is at it; refused, it stays in its window.
  const done = on ? document.documentElement.requestFullscreen?.() : document.exitFullscreen?.()
  done?.catch(() => {})
}

let unsavedNow = false

/** The browser asks before it closes the page, for as long as something would be lost. */
function setUnsaved(unsaved: boolean): void {
  if (unsaved === unsavedNow) return
  unsavedNow = unsaved
  if (unsaved) window.addEventListener('beforeunload', askBeforeClosing)
  else window.removeEventListener('beforeunload', askBeforeClosing)
}

const askBeforeClosing = (event: BeforeUnloadEvent) => event.preventDefault()
