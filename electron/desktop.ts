import type { BrowserWindow, Menu } from 'electron'
import { menuTemplate } from './menu.ts'
import type { Desktop } from './services.ts'

const pngSignature = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]

export interface DesktopParts {
  window(): BrowserWindow
  readonly menu: typeof Menu
  /** Puts a picture on the system's clipboard. */
  copyPng(png: Blob): Promise<void>
  readonly platform: NodeJS.Platform
}

/** The desktop's own abilities on the main window. */
export function electronDesktop({ window, menu, copyPng, platform }: DesktopParts): Desktop {
  return {
    setFullScreen: (on) => window().setFullScreen(on),
    showMenu(sections) {
      const choose = (id: string) => window().webContents.send('menu:chosen', { id })
      menu.setApplicationMenu(menu.buildFromTemplate(menuTemplate(sections, platform, choose)))
    },
    printPaper: () =>
      new Promise((resolve) => {
        window().webContents.print({ printBackground: true }, (printed, reason) =>
          resolve(printed || /cancel/i.test(reason)),
        )
      }),
    printPdf: () => window().webContents.printToPDF({ printBackground: true, preferCSSPageSize: true }),
    async copyPicture(png) {
      if (!pngSignature.every((byte, place) => png[place] === byte)) return false
      await copyPng(new Blob([new Uint8Array(png)], { type: 'image/png' }))
      return true
    },
  }
}
