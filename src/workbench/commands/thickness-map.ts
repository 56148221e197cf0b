import { Map as MapIcon } from 'lucide-react'
import { type Command, needsPlan } from './command.ts'

export const thicknessMapCommand: Command = {
  id: 'view.thickness',
  label: 'Thickness map',
  group: 'View',
  icon: MapIcon,
  keys: ['m'],
  enabled: needsPlan,
  checked: (state) => state.thicknessShown,
  run: ({ store }) => {
    store.getState().setThicknessShown(!store.getState().thicknessShown)
    store.getState().showStage('cuts')
  },
}
