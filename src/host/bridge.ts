import type { Result } from '../failure.ts'

/** A file the user chose. The window knows its name and size, and a token to ask for its bytes with; never its path. */
export interface FileTicket {
  readonly token: string
  readonly name: string
  readonly sizeBytes: number
}

export interface RecentFile {
  readonly token: string
  readonly name: string
  /** False when the file has been moved or removed since. */
  readonly present: boolean
}

/** Unsaved work that a crash left behind. */
export interface RecoveryFile {
  readonly token: string
  /** ISO 8601. */
  readonly savedAt: string
  readonly sizeBytes: number
}

export type SaveKind = 'case' | 'lesson' | 'stl' | 'ply' | 'csv' | 'json' | 'html' | 'pdf' | 'png' | 'svg' | 'zip'

export interface SaveRequest {
  /** A file opened or saved before, to write it again without asking; null asks where. */
  readonly token: string | null
  /** A plain file name, never a path. */
  readonly name: string
  readonly kind: SaveKind
  readonly bytes: Uint8Array
}

export interface MenuItem {
  readonly id: string
  readonly label: string
  readonly accelerator: string | null
  readonly enabled: boolean
  /** Null for an item that is not a switch. */
  readonly checked: boolean | null
}

export interface MenuSection {
  readonly label: string
  /** Groups are parted by a line. */
  readonly groups: readonly (readonly MenuItem[])[]
}

/** What a dialog for opening offers: bones, cases, both, or tables (CSV, JSON). */
export type OpenKind = 'meshes' | 'case' | 'any' | 'table'

/** What the main process tells the window unasked. */
export interface BridgeEvents {
  /** The user chose an item of the native menu. */
  readonly 'menu:chosen': { readonly id: string }
  /** Files came by double click, with this start or a second one, or with the system's `open-file`. */
  readonly 'files:arrived': { readonly files: readonly FileTicket[]; readonly refused: readonly string[] }
  /** The user answered "Save" to the question at closing: save, then call `close`. */
  readonly 'window:save-and-close': null
}

/**
 * What the desktop shell puts into the window as `window.floorline`: plain data and functions, no paths, nothing of
 * Electron. The bytes of a ticket are fetched from `/file/TOKEN` on the window's own origin.
 */
export interface Bridge {
  chooseFiles(what: OpenKind): Promise<Result<readonly FileTicket[]>>
  droppedFile(file: File): Promise<Result<FileTicket>>
  recentFiles(): Promise<readonly RecentFile[]>
  forgetRecentFiles(): Promise<void>
  reopen(token: string): Promise<Result<FileTicket>>
  /** Null: the user changed their mind. */
  save(request: SaveRequest): Promise<Result<FileTicket | null>>
  writeRecovery(bytes: Uint8Array): Promise<Result<void>>
  recoveries(): Promise<readonly RecoveryFile[]>
  /** Null: this run's own recovery file. */
  discardRecovery(token: string | null): Promise<void>
  /** Tells the shell whether closing would lose anything; `name` is what the question calls the case. */
  setUnsaved(unsaved: boolean, name: string): Promise<void>
  close(): Promise<void>
  setFullScreen(on: boolean): Promise<void>
  showMenu(menu: readonly MenuSection[]): Promise<void>
  printPaper(): Promise<Result<void>>
  printPdf(name: string): Promise<Result<FileTicket | null>>
  copyPicture(png: Uint8Array): Promise<Result<void>>
  /** Returns what takes the listener away again. */
  on<Name extends keyof BridgeEvents>(name: Name, listener: (event: BridgeEvents[Name]) => void): () => void
}

declare global {
  interface Window {
    /** Present in the desktop program only. */
    readonly floorline?: Bridge
  }
}
