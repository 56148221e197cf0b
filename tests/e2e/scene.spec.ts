import type { Page } from 'playwright/test'
import { openLeg, rightLeg, stage } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

const frames = async (page: Page): Promise<number> =>
  Number(await page.locator('.scene canvas').getAttribute('data-frames'))

/** Waits until nothing is being calculated and no frame has been drawn for a second. */
async function atRest(page: Page): Promise<void> {
  await expect(page.getByRole('main')).toHaveAttribute('aria-busy', 'false')
  let before = -1
  await expect
    .poll(
      async () => {
        const now = await frames(page)
        const same = now === before
        before = now
        return same
      },
      { intervals: [1000], timeout: 60_000 },
    )
    .toBe(true)
}

test('nothing is drawn for ten seconds of rest, and every view command draws', async ({ leg: page }) => {
  await atRest(page)
  const before = await frames(page)
  await page.waitForTimeout(10_000)
  expect(await frames(page)).toBe(before)
  const view = page.getByRole('toolbar', { name: 'View' })
  for (const name of [
    'Posterior',
    'Medial',
    'Lateral',
    'Proximal',
    'Distal',
    'Along cut',
    'Onto cut',
    'Anterior',
    'Fit',
    'Knee',
  ]) {
    const drawn = await frames(page)
    await view.getByRole('button', { name, exact: true }).click()
    await expect.poll(() => frames(page), name).toBeGreaterThan(drawn)
  }
  for (const name of ['Perspective', 'Lift pieces', 'See-through']) {
    await atRest(page)
    const drawn = await frames(page)
    await page.getByRole('button', { name, exact: true }).click()
    await expect.poll(() => frames(page), name).toBeGreaterThan(drawn)
  }
})

test('a lost graphics context is taken back and drawn again', async ({ window: page }) => {
  await openLeg(page, rightLeg)
  await atRest(page)
  const drawn = await frames(page)
  await page.evaluate(async () => {
    const canvas = document.querySelector<HTMLCanvasElement>('.scene canvas')!
    const lose = canvas.getContext('webgl2')!.getExtension('WEBGL_lose_context')!
    lose.loseContext()
    await new Promise((resolve) => setTimeout(resolve, 300))
    lose.restoreContext()
  })
  await expect.poll(() => frames(page)).toBeGreaterThan(drawn)
})

test('letters stand at the edges only once the frame is declared', async ({ leg: page }) => {
  const letters = page.locator('.edge-letter')
  await expect(letters).toHaveCount(0)
  await stage(page, 'Bones').click()
  await page.getByText('LPS', { exact: true }).click()
  await stage(page, 'Cuts').click()
  await expect(letters).toHaveText(['S', 'I', 'R', 'L'])
  await page.getByRole('button', { name: 'Medial', exact: true }).click()
  await expect(page.locator('.edge-letter.left, .edge-letter.right').first()).toHaveText(/^[AP]/)
})

test('without WebGL the window says so and every panel works', async ({ page, address }) => {
  await page.addInitScript(() => {
    HTMLCanvasElement.prototype.getContext = () => null
  })
  await page.goto(address)
  await openLegWithoutPicture(page)
  await expect(page.getByRole('alert').filter({ hasText: 'WebGL' })).toBeVisible()
  await expect(page.getByRole('spinbutton', { name: 'Varus' })).toHaveValue(/^\d+\.\d$/)
})

async function openLegWithoutPicture(page: Page): Promise<void> {
  const { openThroughDialog, planned } = await import('./bones.ts')
  await openThroughDialog(page, rightLeg)
  await planned(page)
  await stage(page, 'Cuts').click()
}

test('two clicks on the bone give a distance, and a chosen landmark goes where the bone is clicked', async ({
  leg: page,
}) => {
  await stage(page, 'Landmarks').click()
  await page.getByRole('button', { name: 'Knee', exact: true }).click()
  await atRest(page)
  const view = (await page.locator('.scene canvas').boundingBox())!
  const middle = { x: view.x + view.width / 2, y: view.y + view.height / 2 }
  await page.getByRole('button', { name: 'Measure' }).click()
  await page.mouse.click(middle.x - 20, middle.y - 10)
  await page.mouse.click(middle.x + 20, middle.y - 10)
  await expect(page.locator('.view-tag[data-name="distance"]')).toHaveText(/^\d+\.\d mm$/)
  await page.getByRole('button', { name: 'Measure' }).click()
  await expect(page.locator('.view-tag[data-name="distance"]')).toHaveCount(0)

  await page.getByRole('button', { name: /Epicondyle, lateral/ }).click()
  await page.mouse.click(middle.x - 20, middle.y - 80)
  await expect(page.getByRole('button', { name: /^Undo move epicondyle, lateral/ })).toBeVisible()
  await expect(page.getByRole('button', { name: 'Reset Epicondyle, lateral' })).toBeVisible()
})
