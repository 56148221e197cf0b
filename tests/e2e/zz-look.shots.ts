import { mkdirSync } from 'node:fs'
import { planned, stage } from './bones.ts'
import { test } from './harness.ts'

const out = '/tmp/plan-out/shots/'
for (const [theme, size] of [
  ['light', { width: 1280, height: 800 }],
  ['dark', { width: 2560, height: 1440 }],
] as const)
  test(`${theme} ${size.width}`, async ({ window: page }) => {
    test.setTimeout(400_000)
    mkdirSync(out, { recursive: true })
    await page.setViewportSize(size)
    await page.getByRole('region', { name: 'Demo cases' }).getByRole('button').first().waitFor()
    if (theme === 'dark') await page.getByRole('button', { name: 'Dark', exact: true }).click()
    await page
      .getByRole('region', { name: 'Demo cases' })
      .getByRole('button', { name: /Plover/ })
      .click()
    await planned(page)
    await stage(page, 'Cuts').click()
    await planned(page)
    const shot = (name: string) => page.screenshot({ path: `${out}${theme}-${name}.png` })
    await page.getByRole('group', { name: 'Cut with handles' }).getByText('Anterior', { exact: true }).click()
    await page.getByRole('group', { name: 'Handles move' }).getByText('This cut alone', { exact: true }).click()
    const box = page.getByLabel('Deeper than the component')
    await box.fill('2')
    await box.press('Enter')
    await page.getByLabel('Turned as in flexion').fill('3')
    await page.getByLabel('Turned as in flexion').press('Enter')
    await page
      .getByRole('button', { name: 'Medial', exact: true })
      .first()
      .click()
      .catch(() => {})
    await page.waitForTimeout(3500)
    await shot('anterior')
    await page.getByRole('group', { name: 'Cut with handles' }).getByText('Posterior chamfer', { exact: true }).click()
    await page.waitForTimeout(2500)
    await shot('chamfer')
    await page.getByRole('group', { name: 'Recipe', exact: true }).getByText('Restricted', { exact: true }).click()
    await page.waitForTimeout(2500)
    const scroller = page.getByRole('complementary', { name: 'Cuts controls' })
    for (let k = 1; k <= (size.height < 1000 ? 6 : 3); k++) {
      await scroller.evaluate((el, by) => {
        el.scrollTop += by
      }, size.height - 260)
      await page.waitForTimeout(400)
      await shot(`panel-${k}`)
    }
    await scroller.evaluate((el) => {
      el.scrollTop = 0
    })
    await page.getByRole('group', { name: 'Procedure' }).getByText('Medial partial', { exact: true }).click()
    await page.waitForTimeout(4000)
    await page.getByRole('group', { name: 'Cut with handles' }).getByText('Tibia', { exact: true }).click()
    await page.waitForTimeout(1000)
    await shot('partial')
    await scroller.evaluate((el) => {
      el.scrollTop = el.scrollHeight
    })
    await page.waitForTimeout(500)
    await shot('partial-end')
    await page.getByRole('group', { name: 'Procedure' }).getByText('Total', { exact: true }).click()
    await page.waitForTimeout(1500)
    await scroller.evaluate((el) => {
      el.scrollTop = 0
    })
    await page
      .getByRole('button', { name: /Compare/ })
      .first()
      .click()
    await page.waitForTimeout(6000)
    await shot('compare')
    await page
      .getByText('Small multiples')
      .first()
      .click()
      .catch(() => {})
    await page.waitForTimeout(1500)
    await shot('multiples')
  })
