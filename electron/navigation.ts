import type { App, WebContents } from 'electron'

/** No page of ours ever leaves the bundle, opens a window or hosts another page. */
export function setupNoNavigation(app: App): void {
  app.on('web-contents-created', (_event, contents) => fence(contents))
}

export function fence(contents: WebContents): void {
  const refuse = (event: { preventDefault(): void }) => event.preventDefault()
  contents.on('will-navigate', refuse)
  contents.on('will-frame-navigate', refuse)
  contents.on('will-redirect', refuse)
  contents.on('will-attach-webview', refuse)
  contents.setWebRTCIPHandlingPolicy('disable_non_proxied_udp')
  contents.setWindowOpenHandler(() => ({ action: 'deny' }))
}
