import { FilePlus2 } from 'lucide-react'
import { newCase as emptyCase } from '../../casefile/document.ts'
import { type Command, needsBone } from './command.ts'

export const newCase: Command = {
  id: 'file.new',
  label: 'Close all bones',
  group: 'File',
  icon: FilePlus2,
  enabled: needsBone,
  run: ({ store }) => {
    if (store.getState().lesson) store.getState().endLesson()
    store.getState().edit('close all bones', () => emptyCase)
    store.getState().showStage('bones')
  },
}
