import type { BrowserWindow, Dialog } from 'electron'
import { type Dialogs, endings } from './file-service.ts'
import { answers, type ClosingAnswer } from './unsaved.ts'

const filters = {
  meshes: [{ name: 'Surface meshes', extensions: ['stl', 'ply'] }],
  case: [{ name: 'Cases', extensions: ['floorline'] }],
  table: [{ name: 'Tables', extensions: ['csv', 'json'] }],
  any: [{ name: 'Bones, cases and lessons', extensions: ['stl', 'ply', 'floorline', 'floorlesson'] }],
} as const

/** The system's own dialogs, on the main window. */
export function nativeDialogs(dialog: Dialog, window: () => BrowserWindow): Dialogs {
  return {
    async choosePaths(what) {
      const chosen = await dialog.showOpenDialog(window(), {
        properties: what === 'case' || what === 'table' ? ['openFile'] : ['openFile', 'multiSelections'],
        filters: filters[what].map(({ name, extensions }) => ({ name, extensions: [...extensions] })),
      })
      return chosen.canceled ? [] : chosen.filePaths
    },
    async chooseSavePath(name, kind) {
      const extension = endings[kind].slice(1)
      const chosen = await dialog.showSaveDialog(window(), {
        defaultPath: name,
        filters: [{ name: extension.toUpperCase(), extensions: [extension] }],
        properties: ['showOverwriteConfirmation', 'createDirectory'],
      })
      return chosen.canceled || chosen.filePath === '' ? null : chosen.filePath
    },
    async tell(failure) {
      await dialog.showMessageBox(window(), {
        type: 'warning',
        message: failure.message,
        detail: [failure.place, failure.hint].filter((line) => line !== null).join('\n'),
      })
    },
  }
}

/** Save / Don't save / Cancel, as the system shows it; Escape cancels. */
export async function askAboutUnsaved(dialog: Dialog, window: BrowserWindow, name: string): Promise<ClosingAnswer> {
  const { response } = await dialog.showMessageBox(window, {
    type: 'question',
    message: `Save the changes to ${name === '' ? 'this case' : `“${name}”`}?`,
    detail: 'What is not saved is lost when the window closes.',
    buttons: [...answers],
    defaultId: answers.indexOf('Save'),
    cancelId: answers.indexOf('Cancel'),
    noLink: true,
  })
  return answers[response] ?? 'Cancel'
}
