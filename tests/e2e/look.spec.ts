import { leftLeg, numberIn, openLeg, openThroughDialog, planned, rightLeg, stage } from './bones.ts'
import { expect, test } from './harness.ts'

test('all six stages can be reached with nothing open, and the three blocks stay where they are', async ({
  window: page,
}) => {
  const blocks = ['Removed', 'Aligned', 'Stands'].map((name) => page.getByRole('region', { name, exact: true }))
  const places = await Promise.all(blocks.map((block) => block.boundingBox()))
  for (const name of ['Landmarks', 'Cuts', 'Stance', 'Loading', 'Report', 'Bones']) {
    await stage(page, name).click()
    await expect(stage(page, name)).toHaveAttribute('aria-current', 'step')
    expect(await Promise.all(blocks.map((block) => block.boundingBox()))).toEqual(places)
  }
})

for (const [side, files] of [
  ['right', rightLeg],
  ['left', leftLeg],
] as const)
  test(`on a ${side} leg the drawn bar dips to the side that the figure says is down`, async ({ window: page }) => {
    await openLeg(page, files)
    // Deep enough for either tilt to leave a piece on both sides.
    await page.getByRole('spinbutton', { name: /^Depth, lateral/ }).fill('14')
    await page.getByRole('spinbutton', { name: /^Depth, lateral/ }).press('Enter')
    for (const varus of ['−6', '8']) {
      await page.getByRole('spinbutton', { name: 'Varus' }).fill(varus)
      await page.getByRole('spinbutton', { name: 'Varus' }).press('Enter')
      const row = page.getByRole('row', { name: /Feet together/ })
      await expect(row).toContainText(varus === '8' ? /Feet together\d/ : /Feet together−/)
      const tilt = numberIn((await row.getByRole('cell').first().textContent()) ?? '')
      const bar = page.getByRole('img', { name: /Tray as a level/ })
      await expect(bar).toHaveAttribute('aria-label', tilt > 0 ? /medial end lower/ : /lateral end lower/)
      const medial = (await bar.getByText('medial', { exact: true }).boundingBox())!
      const lateral = (await bar.getByText('lateral', { exact: true }).boundingBox())!
      expect(Math.sign(medial.y - lateral.y)).toBe(Math.sign(tilt))
      // The viewer faces the subject: a right leg's medial side is on the viewer's right.
      expect(Math.sign(medial.x - lateral.x)).toBe(side === 'right' ? 1 : -1)
      await expect(bar.getByText(/tilt drawn ×\d|tilt to scale/)).toBeVisible()
    }
  })

test('light and dark share one page, and the choice is kept', async ({ window: page }) => {
  const root = page.locator('html')
  await expect(root).toHaveAttribute('data-theme', 'light')
  await page.getByRole('button', { name: 'Dark', exact: true }).click()
  await expect(root).toHaveAttribute('data-theme', 'dark')
  const ground = await page.evaluate(() => getComputedStyle(document.body).backgroundColor)
  expect(ground).toBe('rgb(29, 28, 26)')
  await page.reload()
  await expect(root).toHaveAttribute('data-theme', 'dark')
})

test('any command is found by its words, and the sheet of keys lists them', async ({ window: page }) => {
  await page.keyboard.press('Control+k')
  await page.getByRole('combobox', { name: 'Find a command' }).fill('go stance')
  await page.keyboard.press('Enter')
  await expect(stage(page, 'Stance')).toHaveAttribute('aria-current', 'step')
  await page.keyboard.press('?')
  const sheet = page.getByRole('dialog', { name: 'Keys' })
  await expect(sheet).toContainText('Open bones…')
  await page.keyboard.press('Escape')
  await expect(sheet).toBeHidden()
})

test('present mode makes the type bigger and nothing is cut off sideways', async ({ window: page }) => {
  await openThroughDialog(page, rightLeg)
  await planned(page)
  const size = () => page.evaluate(() => Number.parseFloat(getComputedStyle(document.body).fontSize))
  const before = await size()
  await page.getByRole('button', { name: 'Present' }).click()
  expect(await size()).toBeGreaterThan(1.15 * before)
  const overflow = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
  expect(overflow).toBeLessThanOrEqual(0)
})

test('files dropped anywhere are opened, and the window says so while they hover', async ({ window: page }) => {
  const { readFileSync } = await import('node:fs')
  const payload = rightLeg.map((path) => ({
    name: path.split('/').at(-1)!,
    base64: readFileSync(path).toString('base64'),
  }))
  const transfer = await page.evaluateHandle((files) => {
    const data = new DataTransfer()
    for (const { name, base64 } of files)
      data.items.add(new File([Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))], name))
    return data
  }, payload)
  await page.dispatchEvent('body', 'dragover', { dataTransfer: transfer })
  await expect(page.getByText('Drop to open')).toBeVisible()
  await page.dispatchEvent('body', 'drop', { dataTransfer: transfer })
  await planned(page)
})
