import { mkdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { planned, stage } from './bones.ts'
import { test } from './harness.ts'

/** Not a test: `npm run pictures` takes the README's pictures, and large ones to look at, from the running program. */
const screens = fileURLToPath(new URL('../../assets/screens/', import.meta.url))
const large = fileURLToPath(new URL('../../test-results/large/', import.meta.url))
const stages = ['Bones', 'Landmarks', 'Cuts', 'Stance', 'Loading', 'Report']

for (const theme of ['light', 'dark'] as const)
  for (const [size, folder, demo] of [
    [{ width: 1280, height: 800 }, screens, 'Heron'],
    [{ width: 2560, height: 1440 }, large, 'Plover'],
  ] as const)
    test(`${theme}, ${size.width} wide`, async ({ window: page }) => {
      test.setTimeout(600_000)
      mkdirSync(folder, { recursive: true })
      await page.setViewportSize(size)
      await page.getByRole('region', { name: 'Demo cases' }).getByRole('button').first().waitFor()
      if (theme === 'dark') await page.getByRole('button', { name: 'Dark', exact: true }).click()
      await page.waitForTimeout(1500)
      await page.screenshot({ path: `${folder}start-${theme}.png` })
      await page
        .getByRole('region', { name: 'Demo cases' })
        .getByRole('button', { name: new RegExp(demo) })
        .click()
      await planned(page)
      for (const name of stages) {
        await stage(page, name).click()
        await page.waitForTimeout(4000)
        await planned(page)
        await page.screenshot({ path: `${folder}${name.toLowerCase()}-${theme}.png` })
      }
    })
