import type { Locator, Page } from 'playwright/test'

/** Presses Tab until the place has the focus, as a hand without a mouse does; fails after a round of the window. */
export async function tabTo(page: Page, place: Locator, most = 120): Promise<number> {
  const there = () => place.evaluate((element) => element === document.activeElement)
  for (let presses = 0; presses <= most; presses++) {
    if (await there()) return presses
    await page.keyboard.press('Tab')
  }
  throw new Error(`Not reached by ${most} presses of Tab.`)
}
