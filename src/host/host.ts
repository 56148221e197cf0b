import type { CaseDocument } from '../casefile/document.ts'
import type { Result } from '../failure.ts'

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

/** What the window asks of the program around it. The browser and the desktop each answer in their own way. */
export interface Host {
  readonly kind: 'browser' | 'desktop'
  /** The system's dialog for opening; empty when nothing was chosen. */
  chooseFiles(): Promise<readonly File[]>
  /** Puts bytes where the user wants them. Resolves to false when the user changed their mind. */
  save(name: string, bytes: Uint8Array<ArrayBuffer> | string, type: string): Promise<Result<boolean>>
  demos(): Promise<Result<readonly DemoEntry[]>>
  demo(id: string): Promise<Result<DemoFiles>>
  print(): void
}
