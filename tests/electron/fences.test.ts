import { describe, expect, it } from 'vitest'
import { registerScheme } from '../../electron/app-scheme.ts'
import { filesAmong } from '../../electron/arguments.ts'
import { menuTemplate } from '../../electron/menu.ts'
import { fence } from '../../electron/navigation.ts'
import { isOwnAddress, setupNoNetwork } from '../../electron/network.ts'
import { setupNoPermissions } from '../../electron/permissions.ts'
import { setupRendererGone } from '../../electron/renderer-gone.ts'
import { setupSingleInstance } from '../../electron/single-instance.ts'
import { safePreferences, windowOptions } from '../../electron/window-options.ts'
import { restoredState } from '../../electron/window-state.ts'

type Listener = (...args: never[]) => unknown

/** Remembers what is registered on it: enough of an emitter to see what a setup step sets up. */
function recorder() {
  const on = new Map<string, Listener>()
  const handlers = new Map<string, Listener>()
  const target = new Proxy(
    {},
    {
      get: (_target, name: string) => {
        if (name === 'on' || name === 'once') return (event: string, listener: Listener) => on.set(event, listener)
        return (...args: unknown[]) => handlers.set(name, args[0] as Listener)
      },
    },
  )
  return { target: target as never, on, handlers }
}

const call = (listener: Listener | undefined, ...args: unknown[]) =>
  (listener as (...args: unknown[]) => unknown)(...args)

describe('the window', () => {
  it('is isolated, sandboxed and without Node, to the letter', () => {
    expect(safePreferences('/p/preload.cjs')).toEqual({
      preload: '/p/preload.cjs',
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webviewTag: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
      experimentalFeatures: false,
      navigateOnDragDrop: false,
      spellcheck: false,
      safeDialogs: true,
    })
    const options = windowOptions('/p/preload.cjs', { x: 0, y: 0, width: 1440, height: 920 })
    expect(options.webPreferences).toEqual(safePreferences('/p/preload.cjs'))
    expect(options.show).toBe(false)
  })

  it('opens where it was left, if that is still on a display', () => {
    const displays = [{ x: 0, y: 0, width: 1920, height: 1080 }]
    const left = { x: 100, y: 50, width: 1200, height: 800, maximized: false }
    expect(restoredState(JSON.stringify(left), displays)).toEqual(left)
  })

  it('comes back to the first display when the other one has gone, or the note is broken', () => {
    const displays = [{ x: 0, y: 0, width: 1920, height: 1080 }]
    const gone = { x: 2500, y: 100, width: 1200, height: 800, maximized: false }
    const middle = { x: 240, y: 80, width: 1440, height: 920, maximized: false }
    for (const text of [JSON.stringify(gone), '{"x":', 'null', '{}', JSON.stringify({ ...gone, width: 'wide' }), null])
      expect(restoredState(text, displays)).toEqual(middle)
    expect(restoredState(JSON.stringify({ ...gone, y: -400, x: 0 }), displays)).toEqual(middle)
  })

  it('fits a small display and has a place without any', () => {
    expect(restoredState(null, [{ x: 0, y: 30, width: 1000, height: 700 }])).toEqual({
      x: 0,
      y: 30,
      width: 1000,
      height: 700,
      maximized: false,
    })
    expect(restoredState(null, []).width).toBe(1440)
  })
})

describe('the network', () => {
  it.each([
    'https://elsewhere.example/',
    'http://127.0.0.1/',
    'ws://elsewhere.example/',
    'ftp://elsewhere.example/',
    'file:///etc/hosts',
    'app://bundle.elsewhere/',
    'app://other/',
    'data:text/html,x',
    'blob:https://elsewhere.example/1',
    'devtools://devtools/',
    'about:blank',
  ])('does not let %s pass', (url) => {
    expect(passes(url)).toBe(false)
  })

  it.each([
    'app://bundle/',
    'app://bundle/assets/a.js',
    'app://bundle/file/00',
    'blob:app://bundle/1',
    'data:image/png;base64,',
  ])('lets our own %s pass', (url) => {
    expect(passes(url)).toBe(true)
    expect(isOwnAddress(url)).toBe(true)
  })

  function passes(url: string): boolean {
    const session = recorder()
    const webRequest = recorder()
    const target = new Proxy(
      {},
      { get: (_t, name: string) => (name === 'webRequest' ? webRequest.target : session.target[name as never]) },
    )
    setupNoNetwork(target as never)
    let cancelled: boolean | undefined
    call(webRequest.handlers.get('onBeforeRequest'), { url }, (answer: { cancel: boolean }) => {
      cancelled = answer.cancel
    })
    return cancelled === false
  }
})

describe('permissions', () => {
  it('are all refused, asked for or checked, devices too', () => {
    const session = recorder()
    setupNoPermissions(session.target)
    let granted: boolean | undefined
    for (const permission of [
      'media',
      'geolocation',
      'notifications',
      'clipboard-read',
      'openExternal',
      'fileSystem',
      'midi',
    ])
      call(session.handlers.get('setPermissionRequestHandler'), {}, permission, (answer: boolean) => {
        granted = answer
      })
    expect(granted).toBe(false)
    expect(call(session.handlers.get('setPermissionCheckHandler'), {}, 'media', 'app://bundle')).toBe(false)
    expect(call(session.handlers.get('setDevicePermissionHandler'), {})).toBe(false)
    for (const event of ['select-hid-device', 'select-usb-device', 'select-serial-port']) {
      let chosen: unknown = 'untouched'
      const choose = (id?: string) => {
        chosen = id
      }
      const args = event === 'select-serial-port' ? [[], {}, choose] : [{}, choose]
      call(session.on.get(event), { preventDefault() {} }, ...args)
      expect(chosen === undefined || chosen === '', event).toBe(true)
    }
    expect(session.handlers.has('setDisplayMediaRequestHandler')).toBe(false)
  })
})

describe('navigation', () => {
  it.each(['will-navigate', 'will-frame-navigate', 'will-redirect', 'will-attach-webview'])(
    '%s is prevented',
    (event) => {
      const contents = recorder()
      fence(contents.target)
      let prevented = false
      call(contents.on.get(event), {
        preventDefault() {
          prevented = true
        },
      })
      expect(prevented).toBe(true)
    },
  )

  it('no window opens another', () => {
    const contents = recorder()
    fence(contents.target)
    expect(call(contents.handlers.get('setWindowOpenHandler'), { url: 'https://elsewhere.example/' })).toEqual({
      action: 'deny',
    })
  })
})

describe('our scheme', () => {
  it('is standard and secure, and may not bypass the policy', () => {
    const protocol = recorder()
    registerScheme(protocol.target)
    expect(protocol.handlers.get('registerSchemesAsPrivileged')).toEqual([
      { scheme: 'app', privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
    ])
  })
})

describe('a start with files', () => {
  it('takes names from the folder the start was made in, and no switches', () => {
    expect(
      filesAmong(['/usr/bin/electron', '/app', '--no-sandbox', 'femur.stl', '/data/tibia.ply'], false, '/data'),
    ).toEqual(['/data/femur.stl', '/data/tibia.ply'])
    expect(filesAmong(['/opt/floorline', '--x', 'knee.floorline'], true, '/data')).toEqual(['/data/knee.floorline'])
  })

  it('is handed to the first instance by a second one, which ends', () => {
    const brought: string[][] = []
    const arrived = {
      bring: async (paths: readonly string[]) => void brought.push([...paths]),
      collect: async () => ({ files: [], refused: [] }),
    }
    const app = recorder()
    const first = {
      requestSingleInstanceLock: () => true,
      isPackaged: true,
      on: (event: string, l: Listener) => app.on.set(event, l),
    }
    setupSingleInstance(first as never, arrived, () => null)
    call(app.on.get('second-instance'), {}, ['/opt/floorline', 'knee.floorline'], '/data')
    call(app.on.get('open-file'), { preventDefault() {} }, '/data/other.floorline')
    expect(brought).toEqual([['/data/knee.floorline'], ['/data/other.floorline']])
    let ended = false
    const second = {
      requestSingleInstanceLock: () => false,
      exit: () => {
        ended = true
      },
    }
    setupSingleInstance(second as never, arrived, () => null)
    expect(ended).toBe(true)
  })
})

describe('a window whose process has died', () => {
  it.each([
    [60_000, true],
    [1_000, false],
  ])('after %i ms starts anew: %s', (livedMs, again) => {
    const done: string[] = []
    const app = { relaunch: () => done.push('again'), exit: () => done.push('exit') }
    const contents = recorder()
    let time = 0
    setupRendererGone(
      app as never,
      { webContents: contents.target } as never,
      () => undefined,
      () => time,
    )
    time = livedMs
    call(contents.on.get('render-process-gone'), {}, { reason: 'crashed' })
    expect(done).toEqual(again ? ['again', 'exit'] : ['exit'])
  })
})

describe('the native menu', () => {
  it('is made of the commands the window lists, and reports the chosen one back', () => {
    const chosen: string[] = []
    const item = { id: 'open', label: 'Open bones & cases', accelerator: 'CmdOrCtrl+O', enabled: true, checked: null }
    const lift = { id: 'lift', label: 'Lift pieces', accelerator: null, enabled: false, checked: true }
    const template = menuTemplate([{ label: 'File', groups: [[item], [lift]] }], 'linux', (id) => chosen.push(id))
    const [file, text] = template
    const [open, line, lifted] = file!.submenu as Electron.MenuItemConstructorOptions[]
    expect(open).toMatchObject({ id: 'open', label: 'Open bones && cases', accelerator: 'CmdOrCtrl+O', enabled: true })
    expect(line).toEqual({ type: 'separator' })
    expect(lifted).toMatchObject({ type: 'checkbox', checked: true, enabled: false })
    call(open!.click as Listener)
    expect(chosen).toEqual(['open'])
    expect((text!.submenu as Electron.MenuItemConstructorOptions[]).map((entry) => entry.role)).toEqual([
      'cut',
      'copy',
      'paste',
      'selectAll',
    ])
  })

  it('has the application menu on macOS', () => {
    expect(menuTemplate([], 'darwin', () => undefined)[0]).toEqual({ role: 'appMenu' })
  })
})
