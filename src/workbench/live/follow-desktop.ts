import { fail } from '../../failure.ts'
import type { Bridge } from '../../host/bridge.ts'
import { fileOfTicket } from '../../host/desktop-host.ts'
import { whyNot } from '../commands/command.ts'
import { commandById } from '../commands/list.ts'
import { nativeMenu } from '../commands/native-menu.ts'
import type { Workbench } from '../workbench.ts'
import { openFiles } from './open-files.ts'
import { saveCase } from './save-case.ts'

/**
 * Ties the window to the desktop around it: the native menu follows the list of commands, a chosen item runs its
 * command, files that arrive by double click or a second start are opened, and
 * a case is saved when closing asks for it.
 */
export function followDesktop(workbench: Workbench, bridge: Bridge): () => void {
  const { store } = workbench
  store.setState({ savesPdf: workbench.host.savePdf !== null })
  let shown = ''
  const showMenu = () => {
    // While something is pulled the menu cannot be opened, and making it anew would cost the hand time.
    if (store.getState().history.gesture) return
    const menu = nativeMenu(store.getState())
    const text = JSON.stringify(menu)
    if (text === shown) return
    shown = text
    void bridge.showMenu(menu)
  }
  showMenu()
  const stops = [
    store.subscribe(showMenu),
    bridge.on('menu:chosen', ({ id }) => {
      const command = commandById(id)
      if (whyNot(command, store.getState()) === null) void command.run(workbench)
    }),
    bridge.on('files:arrived', async ({ files, refused }) => {
      for (const name of refused)
        store.getState().notify(fail('format/unsupported', 'This file cannot be opened.', { place: name }).failure)
      const read = await Promise.all(files.map(fileOfTicket))
      for (const file of read) if (!file.ok) store.getState().notify(file.failure)
      await openFiles(
        workbench,
        read.flatMap((file) => (file.ok ? [file.value] : [])),
      )
    }),
    bridge.on('window:save-and-close', async () => {
      if (await saveCase(workbench)) await bridge.close()
    }),
  ]
  return () => {
    for (const stop of stops) stop()
  }
}
