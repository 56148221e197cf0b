import type { Page } from 'playwright/test'
import { field, numberIn, openThroughDialog, planned, rightLeg, stage } from './bones.ts'
import { expect, test } from './harness.ts'

const section = (page: Page) => page.getByRole('region', { name: 'By hand' })
const choose = (page: Page, name: string) => section(page).getByText(name, { exact: true }).click()
const angle = async (page: Page, name: string) =>
  numberIn(
    await page
      .getByRole('region', { name: 'Angles' })
      .locator('.angle')
      .filter({ has: page.getByText(name, { exact: true }) })
      .locator('.angle-value')
      .first()
      .textContent(),
  )

/** The right leg planned, on the landmarks stage, the knee in the middle of the view from the front. */
async function openLandmarks(page: Page): Promise<{ x: number; y: number }> {
  await openThroughDialog(page, rightLeg)
  await planned(page)
  await stage(page, 'Landmarks').click()
  await page.getByRole('toolbar', { name: 'View' }).getByRole('button', { name: 'Knee', exact: true }).click()
  const view = (await page.locator('.scene canvas').boundingBox())!
  return { x: view.x + view.width / 2, y: view.y + view.height / 2 }
}

async function tagAt(page: Page, name: string): Promise<{ x: number; y: number }> {
  const view = (await page.getByRole('main').boundingBox())!
  const tag = page.locator(`.view-tag[data-name="${name}"]`)
  await expect(tag).toBeVisible()
  return { x: view.x + Number(await tag.getAttribute('data-x')), y: view.y + Number(await tag.getAttribute('data-y')) }
}

const placeOf = async (page: Page, landmark: string): Promise<number[]> => {
  await page.getByRole('button', { name: new RegExp(`${landmark}$`) }).click()
  const values: number[] = []
  for (const axis of ['X', 'Y', 'Z']) values.push(numberIn(await field(page, new RegExp(`^${axis}$`)).inputValue()))
  return values
}

// One leg for all of it: opening one costs more than what is tried on it.
test('work by hand: a landmark dragged and typed, a patch painted, points made a cut, each one step of undo', async ({
  window: page,
}) => {
  const middle = await openLandmarks(page)

  await test.step('a dragged landmark moves the angles while it is dragged, says so, and can be taken back', async () => {
    await page.getByRole('button', { name: 'Distal condyle, medial' }).click()
    const before = await angle(page, 'LDFA')
    const at = await tagAt(page, 'landmark')
    await page.mouse.move(at.x, at.y)
    await page.mouse.down()
    for (let k = 1; k <= 8; k++) await page.mouse.move(at.x, at.y - k)
    await expect.poll(() => angle(page, 'LDFA')).not.toBe(before)
    await page.mouse.up()
    await expect(page.getByRole('button', { name: /^Undo move distal condyle, medial/ })).toBeVisible()
    await expect(page.locator('.view-tag[data-name="landmark"]')).toHaveText(/^Distal condyle, medial, set by hand/)
    await page.getByRole('button', { name: 'Reset Distal condyle, medial' }).click()
    await expect.poll(() => angle(page, 'LDFA')).toBe(before)
  })

  await test.step('a patch painted on the condyle gets a sphere and its residual map; the centre serves a landmark', async () => {
    await choose(page, 'Paint')
    await choose(page, 'Sphere')
    await page.mouse.move(middle.x + 45, middle.y - 55)
    await page.mouse.down()
    for (let k = 1; k <= 4; k++) {
      await page.mouse.move(middle.x + 45 - 5 * k, middle.y - 55)
      await page.waitForTimeout(60)
    }
    await page.mouse.up()
    await expect(page.getByRole('figure', { name: 'Off the fitted shape' })).toBeVisible()
    await expect(section(page).getByText('RMS residual')).toBeVisible()
    await page.getByRole('button', { name: 'Epicondyle, lateral' }).click()
    await section(page).getByRole('button', { name: 'Epicondyle, lateral at its centre' }).click()
    await expect(page.getByRole('button', { name: /^Undo epicondyle, lateral at the sphere’s centre/ })).toBeVisible()
    await page.keyboard.press('Control+z')
  })

  await test.step('by keyboard a landmark is put at exact coordinates, and a plane through three points becomes the cut', async () => {
    await choose(page, 'Landmark')
    await page.getByRole('button', { name: 'Hip centre' }).focus()
    await page.keyboard.press('Enter')
    const x = field(page, /^X$/)
    const before = numberIn(await x.inputValue())
    await x.focus()
    await page.keyboard.press('Shift+ArrowUp')
    await page.keyboard.press('Enter')
    await expect.poll(async () => numberIn(await x.inputValue())).toBeCloseTo(before + 5, 1)
    await expect(page.getByRole('button', { name: /^Undo move hip centre/ })).toBeVisible()
    await page.keyboard.press('Control+z')

    const corners = []
    for (const name of ['Plateau, medial', 'Plateau, lateral', 'Tubercle']) corners.push(await placeOf(page, name))
    const [medial, lateral, front] = corners as [number[], number[], number[]]
    await choose(page, 'Points')
    await choose(page, 'Plane')
    await choose(page, 'Tibia')
    const entry = section(page).getByRole('textbox', { name: /Point by coordinates/ })
    // The files are in LPS: the plane lies 9 mm below the plateaus, level from front to back.
    for (const [px, py, pz] of [medial, lateral, [front[0], front[1], medial[2]]]) {
      await entry.fill(`${px} ${py} ${pz! - 9}`)
      await entry.press('Enter')
    }
    await expect(section(page).getByRole('list', { name: 'Points on the tibia' }).getByRole('listitem')).toHaveCount(3)
    await section(page).getByRole('button', { name: 'Tibia cut', exact: true }).click()
    await expect(page.getByRole('button', { name: /^Undo tibia cut on the plane/ })).toBeVisible()
    await planned(page)
    await stage(page, 'Cuts').click()
    await expect(page.getByRole('button', { name: 'Reset Varus' })).toBeVisible()
    await expect(page.getByRole('button', { name: 'Reset Posterior slope' })).toBeVisible()
  })
})
