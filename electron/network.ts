import type { App, Session } from 'electron'
import { origin } from './window-options.ts'

/** True for what the window may load: our own bundle, and data it made itself. */
export function isOwnAddress(address: string): boolean {
  return (
    address === origin || address.startsWith(`${origin}/`) || /^(?:blob:app:\/\/bundle\/|data:image\/)/.test(address)
  )
}

/** Cuts the session off from every network: whatever is not ours is cancelled before it leaves. */
export function setupNoNetwork(session: Session): void {
  session.webRequest.onBeforeRequest((details, callback) => callback({ cancel: !isOwnAddress(details.url) }))
  session.setSpellCheckerEnabled(false)
  void session.setProxy({ mode: 'direct' })
}

/** The engine's own errands (component updates, reports, look-ups) are switched off too; no name resolves. */
export const quietSwitches = [
  ['disable-background-networking'],
  ['disable-component-update'],
  ['disable-domain-reliability'],
  ['disable-breakpad'],
  ['no-pings'],
  ['host-resolver-rules', 'MAP * ~NOTFOUND'],
] as const

/** Must run before the program is ready. */
export function setupNoBackgroundTraffic(app: App): void {
  for (const [name, value] of quietSwitches) app.commandLine.appendSwitch(name, value)
}
