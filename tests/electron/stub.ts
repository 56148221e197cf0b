export * from './stub-desktop.ts'

type Handler = (event: unknown, ...args: unknown[]) => unknown

const handlers = new Map<string, Handler>()
const listeners = new Map<string, Set<Handler>>()

/** Who the next call seems to come from; a test changes it to play a stranger. */
export const sender = {
  current: {
    sender: { id: 1 } as unknown,
    senderFrame: { url: 'app://bundle/', parent: null } as { url: string; parent: unknown } | null,
  },
}

/**
 * Stands in for Electron in tests that run without its binary. What crosses between the two sides is cloned as the real
 * process boundary clones it, so that nothing passes that could not be sent.
 */
export const ipcMain = {
  handle(channel: string, handler: Handler): void {
    if (handlers.has(channel)) throw new Error(`Second handler for ${channel}`)
    handlers.set(channel, handler)
  },
}

export const ipcRenderer = {
  async invoke(channel: string, ...args: unknown[]): Promise<unknown> {
    const handler = handlers.get(channel)
    if (!handler) throw new Error(`No handler registered for '${channel}'`)
    return structuredClone(await handler(sender.current, ...args.map((argument) => structuredClone(argument))))
  },
  on(channel: string, listener: Handler): void {
    listeners.set(channel, (listeners.get(channel) ?? new Set()).add(listener))
  },
  removeListener(channel: string, listener: Handler): void {
    listeners.get(channel)?.delete(listener)
  },
}

/** Sends an event to the window as `webContents.send` does. */
export function sendToWindow(channel: string, payload: unknown): void {
  for (const listener of listeners.get(channel) ?? []) listener({}, structuredClone(payload))
}

export const exposed = new Map<string, unknown>()

export const contextBridge = {
  exposeInMainWorld(name: string, api: unknown): void {
    exposed.set(name, api)
  },
}

/** The real one asks the system; here a dropped file carries its path for the test. */
export const webUtils = {
  getPathForFile: (file: { readonly testPath?: string }): string => file.testPath ?? '',
}

export function forgetHandlers(): void {
  handlers.clear()
  listeners.clear()
}
