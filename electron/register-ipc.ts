import type { IpcMain, IpcMainInvokeEvent } from 'electron'
import { type ChannelName, contract, type Services } from './contract.ts'
import type { Log } from './log.ts'
import { origin } from './window-options.ts'

/**
 * Connects the services to their channels. Every call must come from the top frame of our own window showing our own
 * bundle, and carry exactly one argument of the channel's shape; anything else is logged and rejected.
 */
export function registerIpc(
  ipcMain: Pick<IpcMain, 'handle'>,
  services: Services,
  isOurWindow: (event: IpcMainInvokeEvent) => boolean,
  log: Log,
): void {
  for (const name of Object.keys(contract) as ChannelName[]) {
    ipcMain.handle(name, async (event, ...args: unknown[]) => {
      if (!isOurWindow(event) || !isOwnTopFrame(event)) {
        log({ what: 'ipc-refused', why: 'sender', channel: name })
        throw new Error('Refused.')
      }
      const input = contract[name].input.safeParse(args[0])
      if (!input.success || args.length > 1) {
        log({ what: 'ipc-refused', why: 'arguments', channel: name })
        throw new Error('Refused.')
      }
      const serve = services[name] as (input: unknown) => Promise<unknown>
      return serve(input.data)
    })
  }
}

/** A frame that has gone away is null: refused too. */
function isOwnTopFrame(event: IpcMainInvokeEvent): boolean {
  const frame = event.senderFrame
  return frame !== null && frame.parent === null && originOf(frame.url) === origin
}

/** For a scheme of our own, URL.origin is the word null; host and scheme are compared instead. */
function originOf(address: string): string | null {
  try {
    const url = new URL(address)
    return `${url.protocol}//${url.host}`
  } catch {
    return null
  }
}
