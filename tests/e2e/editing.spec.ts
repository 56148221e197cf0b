import type { Page } from 'playwright/test'
import { bigFigure, field, ledger, numberIn } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

const depth = (page: Page) => field(page, /^Depth, lateral plateau/)
const tibiaMedial = (page: Page) => ledger(page).getByText(/^Tibia, medial:/)

/** Takes hold of a handle where the view shows it. */
async function grab(page: Page, handle: string): Promise<{ x: number; y: number }> {
  const tag = page.locator(`.view-tag[data-name="${handle}"]`)
  await expect(tag).toBeVisible()
  const view = (await page.getByRole('main').boundingBox())!
  const x = view.x + Number(await tag.getAttribute('data-x'))
  const y = view.y + Number(await tag.getAttribute('data-y'))
  await page.mouse.move(x, y)
  await page.mouse.down()
  return { x, y }
}

test('pulling the depth handle moves the ledger while it is pulled, and is one step of undo', async ({ leg: page }) => {
  const before = numberIn(await depth(page).inputValue())
  await expect(tibiaMedial(page)).toContainText('difference 0.0 mm')
  const { x, y } = await grab(page, 'tibia depth')
  for (let k = 1; k <= 6; k++) await page.mouse.move(x, y + 2 * k)
  await expect(tibiaMedial(page)).toContainText(/difference \+\d+\.\d mm, over/)
  await expect.poll(async () => numberIn(await depth(page).inputValue())).toBeGreaterThan(before + 2)
  await page.mouse.up()
  await expect(page.getByRole('button', { name: /^Undo tibia depth/ })).toBeVisible()
  await page.keyboard.press('Control+z')
  await expect(depth(page)).toHaveValue(before.toFixed(1))
  await expect(tibiaMedial(page)).toContainText('difference 0.0 mm')
  await page.keyboard.press('Control+Shift+z')
  await expect(tibiaMedial(page)).toContainText('over')
})

test('pulling the angle handle tilts the cut and the strip follows; Escape takes it back', async ({ leg: page }) => {
  const before = await field(page, 'Varus').inputValue()
  const figureBefore = await bigFigure(page).textContent()
  const { x, y } = await grab(page, 'tibia varus')
  for (let k = 1; k <= 5; k++) await page.mouse.move(x, y - 3 * k)
  await expect(bigFigure(page)).not.toHaveText(figureBefore!)
  await expect.poll(async () => numberIn(await field(page, 'Varus').inputValue())).toBeLessThan(numberIn(before))
  await page.keyboard.press('Escape')
  await page.mouse.up()
  await expect(field(page, 'Varus')).toHaveValue(before)
  await expect(bigFigure(page)).toHaveText(figureBefore!)
  await expect(page.getByRole('button', { name: /^Undo open tibia/ })).toBeVisible()
})

test('an exact number is typed, stepped with the arrow keys and reset to the recipe', async ({ leg: page }) => {
  const varus = field(page, 'Varus')
  const byRecipe = await varus.inputValue()
  await varus.fill('2')
  await varus.press('Enter')
  await expect(varus).toHaveValue('2.0')
  await varus.press('ArrowUp')
  await expect(varus).toHaveValue('2.5')
  await varus.press('Shift+ArrowUp')
  await expect(varus).toHaveValue('7.5')
  await varus.press('Alt+ArrowDown')
  await expect(varus).toHaveValue('7.5')
  await expect(varus).toHaveAttribute('aria-valuenow', '7.45')
  // Pressed one after the other they are one step, from what was typed to where the keys led.
  await varus.fill('3')
  await varus.press('Enter')
  await expect(varus).toHaveValue('3.0')
  for (const key of ['ArrowUp', 'Shift+ArrowUp', 'Alt+ArrowDown']) await varus.press(key)
  await expect(page.getByRole('button', { name: /^Undo tibia varus 3\.0° to 8\.[45]°/ })).toBeVisible()
  await page.getByRole('button', { name: 'Reset Varus' }).click()
  await expect(varus).toHaveValue(byRecipe)
})

test('a number that is none is refused and leaves the plan as it was', async ({ leg: page }) => {
  const varus = field(page, 'Varus')
  const before = await varus.inputValue()
  await varus.fill('steep')
  await expect(varus).toHaveAttribute('aria-invalid', 'true')
  await varus.press('Enter')
  await expect(varus).toHaveValue(before)
})

test('a pull to where no plan is possible withholds the numbers, and pulling back brings them back', async ({
  leg: page,
}) => {
  const figure = bigFigure(page)
  await page.getByRole('group', { name: 'Cut with handles' }).getByText('Distal', { exact: true }).click()
  const { x, y } = await grab(page, 'femur depth')
  for (let k = 1; k <= 8; k++) await page.mouse.move(x, y + 4 * k)
  await expect(figure).toHaveText('–')
  await expect(ledger(page).getByRole('alert')).toHaveAttribute('data-code', 'cut/misses-bone')
  for (let k = 8; k >= 0; k--) await page.mouse.move(x, y + 4 * k)
  await expect(figure).toHaveText(/^\d+\.\d°$/)
  await page.mouse.up()
})
