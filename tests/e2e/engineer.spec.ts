import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { openThroughDialog, openTornFile, planned, rightLeg, stage } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

const launcher = fileURLToPath(new URL('../../src/cli/floorline.mjs', import.meta.url))

test('a sweep cut off in the window goes on, and is the command line’s sweep of the same case, byte for byte, a broken file on the way', async ({
  window: page,
}) => {
  test.setTimeout(300_000)
  const folder = mkdtempSync(join(tmpdir(), 'floorline-'))
  try {
    await openThroughDialog(page, rightLeg)
    await planned(page)
    const caseDownload = page.waitForEvent('download')
    await page.keyboard.press('Control+s')
    const caseFile = join(folder, 'knee.floorline')
    writeFileSync(caseFile, readFileSync(await (await caseDownload).path()))
    await openTornFile(page)
    await planned(page)

    const startSweep = async () => {
      await stage(page, 'Loading').click()
      await page.getByRole('button', { name: 'Sweep a parameter…' }).click()
      const open = page.getByRole('dialog', { name: 'Sweep' })
      await open.getByRole('textbox', { name: 'from' }).fill('0')
      await open.getByRole('textbox', { name: 'to' }).fill('6')
      await open.getByRole('textbox', { name: 'step' }).fill('1')
      await open.getByRole('button', { name: 'Run' }).click()
      return open
    }
    // The page is thrown away in the middle; the same case opened again goes on where it stopped.
    await (await startSweep()).getByText(/^[1-5] of 7/).waitFor({ timeout: 60_000 })
    await page.reload()
    await openThroughDialog(page, [caseFile])
    await planned(page)
    const dialog = await startSweep()
    await expect(dialog.getByRole('img', { name: /over tibia varus/ })).toBeVisible({ timeout: 120_000 })
    await expect(dialog.getByText(/^Went on after [1-6] points of an interrupted run/)).toBeVisible()
    const sweepDownload = page.waitForEvent('download')
    await dialog.getByRole('button', { name: 'Save as CSV…' }).click()
    const fromWindow = readFileSync(await (await sweepDownload).path(), 'utf8')

    const out = join(folder, 'sweep.csv')
    const run = spawnSync(
      process.execPath,
      [launcher, 'sweep', caseFile, '--vary', 'cuts.tibia.varusDeg=0:6:1', '--out', out],
      {
        encoding: 'utf8',
      },
    )
    expect(run.status, run.stderr).toBe(0)
    expect(fromWindow).toBe(readFileSync(out, 'utf8'))
    expect(fromWindow.split('\n').filter((line) => /^\d/.test(line)).length).toBe(7)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
})

test('the report prints on A4 with its pages counted, and nothing of the window around it', async ({ leg: page }) => {
  await stage(page, 'Report').click()
  await expect(page.getByRole('article', { name: 'Report' })).toContainText('Not judged')
  await page.emulateMedia({ media: 'print' })
  await expect(page.getByRole('navigation', { name: 'Stages' })).toBeHidden()
  await expect(page.getByRole('complementary', { name: 'Ledger' })).toBeHidden()
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1')
  await page.emulateMedia({ media: null })
  const pages = pdf.match(/\/Type\s*\/Page\b(?!s)/g) ?? []
  expect(pages.length).toBeGreaterThanOrEqual(2)
  expect(pages.length).toBeLessThanOrEqual(8)
  const [, width, height] = /\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf) ?? []
  // A4 in points, ISO 216: 210 × 297 mm.
  expect(Math.abs(Number(width) - 595.3)).toBeLessThan(1)
  expect(Math.abs(Number(height) - 841.9)).toBeLessThan(1)
})
