import type { CaseDocument } from '../casefile/document.ts'
import type { Result } from '../failure.ts'
import type { StudyCell } from '../studies/sweep.ts'

/** A demo case as the start page offers it. */
export interface DemoEntry {
  readonly id: string
  readonly title: string
  readonly sentence: string
}

export interface DemoFiles {
  readonly femur: File
  readonly tibia: File
  /** The case as it ships: its meshes by name and hash, recipe, wear, notes. */
  readonly choices: CaseDocument
}

/** A file as it was saved; the token, where there is one, saves to the same place again without asking. */
export interface SavedFile {
  readonly token: string | null
}

/** A file used before; one that has been moved or removed since is not `present`. */
export interface RecentEntry {
  readonly token: string
  readonly name: string
  readonly present: boolean
}

/** Unsaved work that an earlier run left behind. */
export interface RecoveryEntry {
  readonly token: string
  /** ISO 8601. */
  readonly savedAt: string
}

/** What the window asks of the program around it. The browser and the desktop each answer in their own way. */
export interface Host {
  readonly kind: 'browser' | 'desktop'
  /** The system's dialog for opening; empty when nothing was chosen. */
  chooseFiles(what?: 'any' | 'table'): Promise<readonly File[]>
  /** Puts bytes where the user wants them, or where `token` was saved before. null when the user changed their mind. */
  save(
    name: string,
    bytes: Uint8Array<ArrayBuffer> | string,
    type: string,
    token?: string | null,
  ): Promise<Result<SavedFile | null>>
  demos(): Promise<Result<readonly DemoEntry[]>>
  demo(id: string): Promise<Result<DemoFiles>>
  /** Newest first; empty where the system does not let a page open a file again. */
  recent(): Promise<readonly RecentEntry[]>
  reopen(token: string): Promise<Result<File>>
  forgetRecent(): Promise<void>
  /** Keeps unsaved work out of harm's way; never over a file of the user's. */
  keepRecovery(bytes: Uint8Array<ArrayBuffer>): Promise<Result<void>>
  recoveries(): Promise<readonly RecoveryEntry[]>
  recovered(token: string): Promise<Result<File>>
  /** null: this run's own. */
  discardRecovery(token: string | null): Promise<void>
  /** Rows of an interrupted study by their index; none where nothing is kept. */
  knownRows(key: string): Promise<ReadonlyMap<number, readonly StudyCell[]>>
  keepRow(key: string, index: number, row: readonly StudyCell[]): Promise<void>
  /** The study is done: nothing of it needs to be kept. */
  forgetRows(key: string): Promise<void>
  /** Whether closing would lose anything, and what the question calls the case. */
  setUnsaved(unsaved: boolean, name: string): void
  print(): Promise<Result<void>>
  /** Saves the page as it would be printed where the user wants it; null where the print dialog does that. */
  readonly savePdf: ((name: string) => Promise<Result<void>>) | null
  /** Puts a PNG on the system's clipboard. */
  copyPicture(png: Uint8Array<ArrayBuffer>): Promise<Result<void>>
  /** Where the surroundings refuse, nothing happens. */
  setFullScreen(on: boolean): void
}
