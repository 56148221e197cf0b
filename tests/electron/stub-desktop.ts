import { EventEmitter } from 'node:events'

/** What the main process did, in order: enough to see what its recipe sets up and when. */
export const steps: string[] = []

const paths = new Map<string, string>()
export const setUserData = (path: string) => paths.set('userData', path)

class FakeApp extends EventEmitter {
  readonly isPackaged = true
  readonly commandLine = {
    hasSwitch: () => false,
    appendSwitch: (name: string, value?: string) => steps.push(`switch ${name}${value ? `=${value}` : ''}`),
  }
  #ready: () => void = () => undefined
  readonly #whenReady = new Promise<void>((resolve) => {
    this.#ready = resolve
  })
  getPath(name: string): string {
    return paths.get(name)!
  }
  enableSandbox(): void {
    steps.push('sandbox')
  }
  requestSingleInstanceLock(): boolean {
    steps.push('single instance')
    return true
  }
  whenReady(): Promise<void> {
    return this.#whenReady
  }
  becomeReady(): void {
    steps.push('ready')
    this.#ready()
  }
  addRecentDocument(): void {}
  clearRecentDocuments(): void {}
  quit(): void {
    steps.push('quit')
  }
  exit(): void {
    steps.push('exit')
  }
  relaunch(): void {
    steps.push('relaunch')
  }
}
export const app = new FakeApp()

export class BrowserWindow extends EventEmitter {
  static opened: BrowserWindow[] = []
  readonly webContents = Object.assign(new EventEmitter(), { send: (channel: string) => steps.push(`send ${channel}`) })
  readonly options: unknown
  constructor(options: unknown) {
    super()
    this.options = options
    BrowserWindow.opened.push(this)
    steps.push('window')
  }
  async loadURL(url: string): Promise<void> {
    steps.push(`load ${url}`)
  }
  show(): void {
    steps.push('show')
  }
  maximize(): void {}
  getNormalBounds() {
    return { x: 1, y: 2, width: 1000, height: 700 }
  }
  isMaximized(): boolean {
    return false
  }
  destroy(): void {
    steps.push('destroyed')
  }
}

export const dialogAnswers = { button: 2 }
export const dialog = {
  showMessageBox: async () => ({ response: dialogAnswers.button }),
  showOpenDialog: async () => ({ canceled: true, filePaths: [] }),
  showSaveDialog: async () => ({ canceled: true, filePath: '' }),
}
export const Menu = {
  setApplicationMenu: () => steps.push('menu'),
  buildFromTemplate: (template: unknown) => template,
}
export const protocol = { registerSchemesAsPrivileged: () => steps.push('scheme registered') }
export const screen = { getAllDisplays: () => [{ workArea: { x: 0, y: 0, width: 1920, height: 1080 } }] }
export const clipboard = { write: async () => undefined }
export class ClipboardItem {}
export const session = {
  defaultSession: Object.assign(new EventEmitter(), {
    protocol: { handle: (scheme: string) => steps.push(`handle ${scheme}`) },
    webRequest: { onBeforeRequest: () => steps.push('network off') },
    setSpellCheckerEnabled: () => undefined,
    setProxy: async () => undefined,
    setPermissionRequestHandler: () => steps.push('permissions refused'),
    setPermissionCheckHandler: () => undefined,
    setDevicePermissionHandler: () => undefined,
  }),
}
