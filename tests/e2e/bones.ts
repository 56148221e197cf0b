import type { FileChooser, Page } from 'playwright/test'
import { sharedPath } from '../shared.ts'
import { expect } from './harness.ts'

/** Whole legs that are quick to draw without a graphics card. */
export const rightLeg = [sharedPath('bones/bp3d/femur_right.stl'), sharedPath('bones/bp3d/tibia_right.stl')]
export const leftLeg = [sharedPath('bones/hra/femur_left.ply'), sharedPath('bones/hra/tibia_left.ply')]

export type FileToOpen = string | { readonly name: string; readonly mimeType: string; readonly buffer: Buffer }

/** Opens files through the program's own dialog, by the command's key. */
export async function openThroughDialog(page: Page, files: readonly FileToOpen[]): Promise<void> {
  await expect(page.getByRole('navigation', { name: 'Stages' })).toBeVisible()
  await throughDialog(page, files)
}

async function throughDialog(page: Page, files: readonly FileToOpen[]): Promise<void> {
  let dialog: FileChooser | null = null
  // The driver may begin to listen only after the first dialog has opened and, unheard, been closed.
  await expect(async () => {
    const chooser = page.waitForEvent('filechooser', { timeout: 3000 })
    await page.keyboard.press('Control+o')
    dialog = await chooser
  }).toPass({ timeout: 30_000 })
  await choose(dialog!, files)
}

async function choose(dialog: FileChooser, files: readonly FileToOpen[]): Promise<void> {
  if (files.every((file) => typeof file === 'string')) await dialog.setFiles(files as string[])
  else await dialog.setFiles(files as Exclude<FileToOpen, string>[])
}

/** In the middle of a path: a file that is no mesh is refused by name, and the case stays as it was. */
export async function openTornFile(page: Page): Promise<void> {
  const undo = page.getByRole('button', { name: /^Undo/ })
  // A lesson that plays hides the bar with the steps.
  const before = (await undo.count()) > 0 ? await undo.getAttribute('title') : null
  await throughDialog(page, [{ name: 'torn.stl', mimeType: 'model/stl', buffer: Buffer.from('solid torn') }])
  const told = page.getByRole('alert').filter({ hasText: 'torn.stl' })
  await expect(told).toBeVisible()
  if (before !== null) await expect(undo).toHaveAttribute('title', before)
  await page.getByRole('button', { name: 'Dismiss' }).press('Enter')
  await expect(told).toBeHidden()
}

export const stage = (page: Page, name: string) =>
  page.getByRole('navigation', { name: 'Stages' }).getByRole('button', { name })

export const ledger = (page: Page) => page.getByRole('complementary', { name: 'Ledger' })
export const bigFigure = (page: Page) => page.getByLabel('Tray to floor, side to side')

/** Waits until the numbers of the plan stand in the window. */
export async function planned(page: Page): Promise<void> {
  await expect(bigFigure(page)).toHaveText(/^\d+\.\d°$/, { timeout: 60_000 })
  await expect(ledger(page)).toHaveAttribute('aria-busy', 'false')
}

/** Both bones of a leg, planned, on the cuts stage with its picture drawn. */
export async function openLeg(page: Page, files: readonly string[]): Promise<void> {
  await openThroughDialog(page, files)
  await planned(page)
  await stage(page, 'Cuts').click()
  await expect(page.locator('.view-tag[data-name="tibia depth"]')).toBeVisible()
}

export const field = (page: Page, name: string | RegExp) => page.getByRole('spinbutton', { name })

/** A number as the window prints it. */
export const numberIn = (text: string | null): number =>
  Number((text ?? '').replace('−', '-').match(/-?\d+(\.\d+)?/)?.[0])
