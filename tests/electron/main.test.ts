import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { safePreferences } from '../../electron/window-options.ts'
import { ipcRenderer, sender } from './stub.ts'
import { app, BrowserWindow, dialogAnswers, setUserData, steps } from './stub-desktop.ts'

let data = ''

beforeAll(async () => {
  data = mkdtempSync(join(tmpdir(), 'floorline-main-'))
  setUserData(data)
  await import('../../electron/main.ts')
  app.becomeReady()
  await vi.waitFor(() => expect(BrowserWindow.opened).toHaveLength(1))
  sender.current = { ...sender.current, sender: BrowserWindow.opened[0]!.webContents }
})
afterAll(() => rmSync(data, { recursive: true, force: true }))

const main = () => BrowserWindow.opened[0]!

describe('the main process', () => {
  it('sandboxes, registers its scheme and takes its lock before it is ready', () => {
    const before = steps.slice(0, steps.indexOf('ready'))
    expect(before[0]).toBe('sandbox')
    expect(before).toEqual(
      expect.arrayContaining(['scheme registered', 'single instance', 'switch host-resolver-rules=MAP * ~NOTFOUND']),
    )
  })

  it('fences the session in before there is a window', () => {
    const before = steps.slice(steps.indexOf('ready'), steps.indexOf('window'))
    expect(before).toEqual(expect.arrayContaining(['network off', 'permissions refused', 'handle app']))
  })

  it('opens one safe window on our own address and shows it when it is drawn', () => {
    const { webPreferences } = main().options as { webPreferences: { preload: string } }
    expect(webPreferences).toEqual(safePreferences(webPreferences.preload))
    expect(steps).toContain('load app://bundle/')
    expect(steps).not.toContain('show')
    main().emit('ready-to-show')
    expect(steps).toContain('show')
  })

  it('answers its own window, and asks before unsaved work is lost', async () => {
    await ipcRenderer.invoke('window:unsaved', { unsaved: true, name: 'knee' })
    let stopped = false
    const close = () =>
      main().emit('close', {
        preventDefault: () => {
          stopped = true
        },
      })
    dialogAnswers.button = 2
    close()
    expect(stopped).toBe(true)
    await new Promise((resolve) => setTimeout(resolve, 20))
    expect(steps).not.toContain('destroyed')
    dialogAnswers.button = 0
    close()
    await expect.poll(() => steps).toContain('send window:save-and-close')
    expect(steps).not.toContain('destroyed')
    dialogAnswers.button = 1
    close()
    await expect.poll(() => steps).toContain('destroyed')
    expect(JSON.parse(readFileSync(join(data, 'window.json'), 'utf8'))).toMatchObject({ width: 1000, maximized: false })
  })

  it('logs its start in a file of its own', () => {
    expect(readFileSync(join(data, 'logs', 'floorline.log'), 'utf8')).toMatch(/^\{"at":"[^"]+","what":"started"\}\n/)
    expect(existsSync(join(data, 'recovery'))).toBe(false)
  })
})
