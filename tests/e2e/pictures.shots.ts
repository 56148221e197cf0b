import { mkdirSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { Page } from 'playwright/test'
import { planned, stage } from './bones.ts'
import { test } from './harness.ts'

/**
 * Not a test: `npm run pictures` takes every picture of the README from the running program, at 1280 × 800 and at 2560 × 1440 with two
 * points to a pixel (kept half as large), and high contrast and forced colours to be looked at.
 */
const screens = fileURLToPath(new URL('../../assets/screens/', import.meta.url))
const looked = fileURLToPath(new URL('../../test-results/large/', import.meta.url))
const stages = ['Bones', 'Landmarks', 'Cuts', 'Stance', 'Loading', 'Report']

type Keep = (page: Page, name: string) => Promise<void>

const asIs =
  (folder: string): Keep =>
  async (page, name) => {
    await page.screenshot({ path: `${folder}${name}.png` })
  }

/** As WebP of half the size, made by the browser itself on a page of its own. */
const halved: Keep = async (page, name) => {
  const png = (await page.screenshot()).toString('base64')
  const maker = await page.context().newPage()
  const webp = await maker.evaluate(async (data) => {
    const picture = new Image()
    picture.src = `data:image/png;base64,${data}`
    await picture.decode()
    const canvas = document.createElement('canvas')
    canvas.width = picture.width / 2
    canvas.height = picture.height / 2
    const pen = canvas.getContext('2d')!
    pen.imageSmoothingQuality = 'high'
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height)
    return canvas.toDataURL('image/webp', 0.85).split(',')[1]!
  }, png)
  await maker.close()
  writeFileSync(`${screens}large/${name}.webp`, Buffer.from(webp, 'base64'))
}

async function everyStage(page: Page, demo: string, theme: string, keep: Keep): Promise<void> {
  await page.getByRole('region', { name: 'Demo cases' }).getByRole('button').first().waitFor()
  await page.waitForTimeout(1500)
  await keep(page, `start-${theme}`)
  await page
    .getByRole('region', { name: 'Demo cases' })
    .getByRole('button', { name: new RegExp(demo) })
    .click()
  await planned(page)
  for (const name of stages) {
    await stage(page, name).click()
    await page.waitForTimeout(4000)
    await planned(page)
    await keep(page, `${name.toLowerCase()}-${theme}`)
  }
}

const dark = (page: Page) => page.getByRole('button', { name: 'Dark', exact: true }).click()

test.describe('as on a laptop', () => {
  for (const theme of ['light', 'dark'] as const)
    test(`${theme}, 1280 wide`, async ({ window: page }) => {
      test.setTimeout(600_000)
      if (theme === 'dark') await dark(page)
      await everyStage(page, 'Heron', theme, asIs(screens))
    })
})

test.describe('as on a large screen', () => {
  test.use({ viewport: { width: 2560, height: 1440 }, deviceScaleFactor: 2 })
  for (const theme of ['light', 'dark'] as const)
    test(`${theme}, 2560 wide, twice as fine`, async ({ window: page }) => {
      test.setTimeout(1_200_000)
      mkdirSync(`${screens}large`, { recursive: true })
      if (theme === 'dark') await dark(page)
      await everyStage(page, 'Plover', theme, halved)
    })
})

test.describe('to be looked at', () => {
  for (const theme of ['high-contrast', 'forced-colours'] as const)
    test(theme, async ({ window: page }) => {
      test.setTimeout(600_000)
      mkdirSync(looked, { recursive: true })
      if (theme === 'forced-colours') await page.emulateMedia({ forcedColors: 'active' })
      else {
        await page.keyboard.press('Control+k')
        await page.getByRole('combobox', { name: 'Find a command' }).fill('high contrast')
        await page.keyboard.press('Enter')
      }
      await everyStage(page, 'Heron', theme, asIs(looked))
    })
})
