import { Table2 } from 'lucide-react'
import type { Command } from './command.ts'

export const componentTable: Command = {
  id: 'case.components',
  label: 'Component table…',
  group: 'Edit',
  icon: Table2,
  run: ({ store }) => store.getState().showStudy('components'),
}
