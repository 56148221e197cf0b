import { describe, expect, it } from 'vitest'
import { electronDesktop } from '../../electron/desktop.ts'
import { setupSingleInstance } from '../../electron/single-instance.ts'

/** A window of Electron's that notes what is asked of it; printing answers as the test says. */
function standIn(printed: readonly [boolean, string] = [true, '']) {
  const asked: unknown[] = []
  const pdf = new TextEncoder().encode('%PDF-1.4')
  const window = {
    setFullScreen: (on: boolean) => asked.push(['full screen', on]),
    isMinimized: () => true,
    restore: () => asked.push('restored'),
    focus: () => asked.push('focused'),
    webContents: {
      send: (channel: string, payload: unknown) => asked.push([channel, payload]),
      print: (options: unknown, done: (printed: boolean, reason: string) => void) => {
        asked.push(['print', options])
        done(...printed)
      },
      printToPDF: async (options: unknown) => {
        asked.push(['pdf', options])
        return pdf
      },
    },
  }
  let shown: readonly { label: string; submenu: readonly { id: string; click: () => void }[] }[] = []
  const menu = {
    buildFromTemplate: (template: typeof shown) => template,
    setApplicationMenu: (template: typeof shown) => {
      shown = template
    },
  }
  const copied: Blob[] = []
  const desktop = electronDesktop({
    window: () => window as never,
    menu: menu as never,
    copyPng: async (png) => void copied.push(png),
    platform: 'linux',
  })
  return { desktop, window, asked, copied, pdf, menuShown: () => shown }
}

describe('the desktop around the window', () => {
  it('makes the PDF with the sheet of the report itself, its colours included', async () => {
    const { desktop, asked, pdf } = standIn()
    expect(await desktop.printPdf()).toBe(pdf)
    expect(asked).toEqual([['pdf', { printBackground: true, preferCSSPageSize: true }]])
  })

  it.each([
    [true, '', true],
    [false, 'Print job canceled', true],
    [false, 'cancelled', true],
    [false, 'Invalid printer settings', false],
  ])('a paper that was printed (%s, “%s”) is well: %s', async (printed, reason, well) => {
    const { desktop, asked } = standIn([printed, reason])
    expect(await desktop.printPaper()).toBe(well)
    expect(asked).toEqual([['print', { printBackground: true }]])
  })

  it('puts a picture on the clipboard, and nothing that is none', async () => {
    const { desktop, copied } = standIn()
    const png = new Uint8Array([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 1])
    expect(await desktop.copyPicture(png)).toBe(true)
    expect(copied[0]!.type).toBe('image/png')
    expect(copied[0]!.size).toBe(9)
    expect(await desktop.copyPicture(new TextEncoder().encode('<script>'))).toBe(false)
    expect(copied).toHaveLength(1)
  })

  it('tells the window which item of the native menu was chosen', () => {
    const { desktop, asked, menuShown } = standIn()
    const item = { id: 'file.open', label: 'Open', accelerator: 'CmdOrCtrl+O', enabled: true, checked: null }
    desktop.showMenu([{ label: 'File', groups: [[item]] }])
    menuShown()[0]!.submenu[0]!.click()
    expect(asked).toEqual([['menu:chosen', { id: 'file.open' }]])
  })

  it('a second start brings the window back before the eyes, with its files', () => {
    const { window, asked } = standIn()
    const listeners = new Map<string, (...args: unknown[]) => void>()
    const brought: (readonly string[])[] = []
    const app = {
      requestSingleInstanceLock: () => true,
      isPackaged: true,
      on: (event: string, listener: (...args: unknown[]) => void) => listeners.set(event, listener),
    }
    const arrived = {
      bring: async (paths: readonly string[]) => void brought.push(paths),
      collect: async () => ({ files: [], refused: [] }),
    }
    setupSingleInstance(app as never, arrived, () => window as never)
    listeners.get('second-instance')!({}, ['/opt/floorline', 'tibia.stl'], '/data')
    expect(asked).toEqual(['restored', 'focused'])
    expect(brought).toEqual([['/data/tibia.stl']])
  })
})
