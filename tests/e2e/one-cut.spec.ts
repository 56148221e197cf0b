import type { Page } from 'playwright/test'
import { bigFigure, field, ledger } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

const choose = (page: Page, cut: string) =>
  page.getByRole('group', { name: 'Cut with handles' }).getByText(cut, { exact: true }).click()

test('one femoral cut is moved alone by number and by handle; the component stays and the room under it is told', async ({
  leg: page,
}) => {
  const hka = page.getByText(/^HKA/).first()
  const before = await hka.textContent()
  await choose(page, 'Anterior')
  await field(page, 'Deeper than the component').fill('1')
  await field(page, 'Deeper than the component').press('Enter')
  await expect(page.getByText('Room under the component').locator('..')).toContainText('1.0 mm')
  await expect(ledger(page)).toContainText('At the anterior cut up to 1.0 mm of room stays')
  expect(await hka.textContent()).toBe(before)
  await choose(page, 'Posterior chamfer')
  await page.getByRole('group', { name: 'Handles move' }).getByText('This cut alone', { exact: true }).click()
  const tag = page.locator('.view-tag[data-name="chamfer posterior cut alone, deeper than the component"]')
  await expect(tag).toBeVisible()
  const view = (await page.getByRole('main').boundingBox())!
  const x = view.x + Number(await tag.getAttribute('data-x'))
  const y = view.y + Number(await tag.getAttribute('data-y'))
  await page.mouse.move(x, y)
  await page.mouse.down()
  for (let k = 1; k <= 6; k++) await page.mouse.move(x, y - 3 * k)
  await page.mouse.up()
  await expect(page.getByRole('button', { name: /^Undo chamfer posterior cut alone/ })).toBeVisible()
  await expect(field(page, 'Deeper than the component')).not.toHaveValue('0.0')
  await page.getByRole('button', { name: 'Reset Deeper than the component' }).click()
  await expect(field(page, 'Deeper than the component')).toHaveValue('0.0')
  await page.getByRole('group', { name: 'Handles move' }).getByText('Component', { exact: true }).click()
})

test('what lies out of range or cannot be planned is refused with the reason, and the plan before it stays', async ({
  leg: page,
}) => {
  const figure = await bigFigure(page).textContent()
  const notices = page.locator('.notices')
  for (const [label, typed, says] of [
    ['Varus', '1e9', 'is not a number'],
    ['Varus', '1000000000', 'must be −25.0 to 25.0 °'],
    ['Saw kerf', '-1', 'must be 0.0 to 3.0 mm'],
    ['Saw kerf', '2 cm', 'is entered in mm'],
    ['Joint lines to', '85', 'The lower joint line limit must lie below the upper one'],
  ] as const) {
    const box = field(page, label)
    const before = await box.inputValue()
    await box.fill(typed)
    await box.press('Enter')
    await expect(notices).toContainText(says)
    await expect(box).toHaveValue(before)
    await expect(bigFigure(page)).toHaveText(figure!)
    await notices.getByRole('button', { name: 'Dismiss' }).first().click()
  }
  // A cut that leaves the bone.
  await field(page, 'Depth, distal medial').fill('0')
  await field(page, 'Depth, distal medial').press('Enter')
  await expect(notices).toContainText('Refused: femur depth')
  await expect(notices).toContainText('The plan before it stays.')
  await expect(bigFigure(page)).toHaveText(figure!)
})
