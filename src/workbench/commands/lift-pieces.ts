import { ArrowUpFromLine } from 'lucide-react'
import type { Command } from './command.ts'

export const liftPieces: Command = {
  id: 'view.lift',
  label: 'Lift pieces',
  group: 'View',
  icon: ArrowUpFromLine,
  keys: ['l'],
  checked: (state) => state.liftPieces,
  run: ({ store }) => store.getState().setLiftPieces(!store.getState().liftPieces),
}
