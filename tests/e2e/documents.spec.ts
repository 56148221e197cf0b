import { readFileSync } from 'node:fs'
import type { Page } from 'playwright/test'
import { bigFigure, field, openLeg, openThroughDialog, planned, rightLeg, stage } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

async function saved(page: Page, press: () => Promise<void>): Promise<{ name: string; bytes: Buffer }> {
  const download = page.waitForEvent('download')
  await press()
  const file = await download
  return { name: file.suggestedFilename(), bytes: readFileSync(await file.path()) }
}

test('a case is saved with its meshes, marks the title until then, and opens again as it was', async ({
  window: page,
}) => {
  await openLeg(page, rightLeg)
  await field(page, 'Varus').fill('3.5')
  await field(page, 'Varus').press('Enter')
  await planned(page)
  const figure = await bigFigure(page).textContent()
  await expect(page).toHaveTitle(/^• /)
  const scaleBar = page.locator('.scale-bar')
  const usual = await scaleBar.innerHTML()
  await page.locator('.scene').first().hover()
  await page.mouse.wheel(0, 900)
  await expect.poll(() => scaleBar.innerHTML()).not.toBe(usual)
  await page.waitForTimeout(500)
  const looked = await scaleBar.innerHTML()
  const file = await saved(page, () => page.keyboard.press('Control+s'))
  expect(file.name).toMatch(/\.floorline$/)
  await expect(page).toHaveTitle(/^[^•]/)
  await page.reload()
  await openThroughDialog(page, [{ name: file.name, mimeType: 'application/octet-stream', buffer: file.bytes }])
  await planned(page)
  await expect(bigFigure(page)).toHaveText(figure!)
  // Where the window looked comes back, though the bones find their frames only after it.
  await expect.poll(() => scaleBar.innerHTML()).toBe(looked)
  await stage(page, 'Cuts').click()
  await expect(field(page, 'Varus')).toHaveValue('3.5')
  await expect(page).toHaveTitle(/^[^•]/)
})

test('a case file that has been damaged is refused and what is open stays', async ({ leg: page }) => {
  const figure = await bigFigure(page).textContent()
  await openThroughDialog(page, [
    {
      name: 'hurt.floorline',
      mimeType: 'application/octet-stream',
      buffer: Buffer.from('PK\u0003\u0004 no zip at all'),
    },
  ])
  await expect(page.getByRole('alert').filter({ hasText: 'hurt.floorline' })).toBeVisible()
  await expect(bigFigure(page)).toHaveText(figure!)
})

test('unsaved work is offered again after the window has died', async ({ context, address }) => {
  const first = await context.newPage()
  await first.goto(address)
  await openThroughDialog(first, rightLeg)
  await planned(first)
  await stage(first, 'Cuts').click()
  await field(first, 'Varus').fill('4.5')
  await field(first, 'Varus').press('Enter')
  await planned(first)
  // Longer than the rest of the hand after which a change is kept, shorter than the ten seconds that may be lost.
  await first.waitForTimeout(6000)
  await first.close({ runBeforeUnload: false })
  const second = await context.newPage()
  await second.goto(address)
  const offer = second.getByRole('region', { name: 'Unsaved work' })
  await offer.getByRole('button', { name: 'Open it' }).click()
  await planned(second)
  await stage(second, 'Cuts').click()
  await expect(field(second, 'Varus')).toHaveValue('4.5')
})

test('closing a page with unsaved work asks first, and a saved one closes', async ({ window: page }) => {
  await openThroughDialog(page, rightLeg)
  await planned(page)
  const asked = page.waitForEvent('dialog')
  await page.close({ runBeforeUnload: true })
  const question = await asked
  expect(question.type()).toBe('beforeunload')
  await question.dismiss()
  await saved(page, () => page.keyboard.press('Control+s'))
  await expect(page).toHaveTitle(/^[^•]/)
  const closed = page.waitForEvent('close')
  await page.close({ runBeforeUnload: true })
  await closed
})

test('the report is saved as one HTML file that carries the caution and no file name', async ({ leg: page }) => {
  await stage(page, 'Report').click()
  const file = await saved(page, () => page.getByRole('button', { name: 'Save the report as HTML…' }).click())
  const text = file.bytes.toString('utf8')
  expect(text).toContain('not a medical device')
  expect(text).not.toContain('femur_right')
})

test('the recipes are compared side by side and one can be taken over', async ({ leg: page }) => {
  await page.getByRole('button', { name: 'Compare recipes…' }).click()
  const dialog = page.getByRole('dialog', { name: 'Recipes compared' })
  const mpta = dialog.getByRole('row', { name: /^MPTA/ })
  await expect(mpta).toContainText('90.0°', { timeout: 60_000 })
  await expect(mpta).toContainText('87.0°')
  await dialog.getByRole('button', { name: 'Use mechanical' }).click()
  await expect(page.getByRole('radio', { name: 'Mechanical' })).toBeChecked()
})
