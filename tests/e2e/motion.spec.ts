import type { Page } from 'playwright/test'
import { openLeg, rightLeg, stage } from './bones.ts'
import { expect, test } from './harness.ts'

const frames = async (page: Page) => Number(await page.locator('.scene canvas').getAttribute('data-frames'))
const atRest = (page: Page) =>
  expect
    .poll(
      async () => {
        const before = await frames(page)
        await page.waitForTimeout(700)
        return (await frames(page)) - before
      },
      { timeout: 60_000 },
    )
    .toBe(0)

test('a piece is seen to lift unless motion is not wanted, and the view comes to rest where it belongs', async ({
  window: page,
}) => {
  await openLeg(page, rightLeg)
  const drawnFor = async (motion: 'reduce' | 'no-preference') => {
    await page.emulateMedia({ reducedMotion: motion })
    await atRest(page)
    const before = await frames(page)
    await page.getByRole('button', { name: 'Lift pieces', exact: true }).click()
    await atRest(page)
    return (await frames(page)) - before
  }
  const still = await drawnFor('reduce')
  const moving = await drawnFor('no-preference')
  expect(moving).toBeGreaterThan(still)

  // Standing up, the view is fitted to where the leg will stand, not to where it was on its way.
  await stage(page, 'Stance').click()
  await atRest(page)
  const bar = page.locator('.scale-bar')
  const [words, box] = [await bar.textContent(), await bar.locator('.scale-bar-line').boundingBox()]
  await page.getByRole('button', { name: 'Fit', exact: true }).click()
  await atRest(page)
  expect(await bar.textContent()).toBe(words)
  expect(Math.abs((await bar.locator('.scale-bar-line').boundingBox())!.width - box!.width)).toBeLessThan(1.5)
})
