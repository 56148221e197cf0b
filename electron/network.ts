import type { Session } from 'electron'
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
