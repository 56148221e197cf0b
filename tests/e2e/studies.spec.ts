import { readFileSync } from 'node:fs'
import type { Page } from 'playwright/test'
import { sharedPath } from '../shared.ts'
import { field, ledger, leftLeg, numberIn, openLeg, openThroughDialog, planned, rightLeg, stage } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

async function downloaded(page: Page, click: () => Promise<void>): Promise<string> {
  const download = page.waitForEvent('download')
  await click()
  return readFileSync(await (await download).path(), 'utf8')
}

test('recipes: differences from a baseline, chosen numbers, small multiples, both saved', async ({ leg: page }) => {
  await page.getByRole('button', { name: 'Compare recipes…' }).click()
  const dialog = page.getByRole('dialog', { name: 'Recipes compared' })
  const mpta = dialog.getByRole('row', { name: /^MPTA/ })
  await expect(mpta).toContainText('90.0°', { timeout: 60_000 })
  await dialog.getByLabel('Differences from').selectOption('mechanical')
  await expect(mpta).toContainText('(−3.0°)')
  await dialog.getByText(/numbers shown/).click()
  await dialog.getByLabel('Tray to floor, side to side, one leg').check()
  await expect(dialog.getByRole('row', { name: /one leg/ })).toHaveCount(1)
  await dialog.getByText(/numbers shown/).click()
  const csv = await downloaded(page, () => dialog.getByRole('button', { name: 'Save as CSV…' }).click())
  expect(csv).toMatch(/^output,unit,mechanical,anatomic,kinematic,restricted,mechanical less mechanical/m)
  expect(csv).toMatch(/^after\.mptaDeg,deg,90,87,/m)
  await dialog.getByText('Small multiples').click()
  await expect(dialog.getByRole('img', { name: 'Small multiples' })).toBeVisible()
  const svg = await downloaded(page, () => dialog.getByRole('button', { name: 'Save as SVG…' }).click())
  expect(svg).toContain('medical device')
})

test('the saw is off: chances per recipe in the worker, with errors that can be typed', async ({ leg: page }) => {
  await page.getByRole('button', { name: 'What if the saw is off…' }).click()
  const dialog = page.getByRole('dialog', { name: 'What if the saw is off' })
  await dialog.getByRole('button', { name: 'Run' }).click()
  const sites = dialog.getByRole('row', { name: /^All sites together/ })
  await expect(sites).toContainText('%', { timeout: 60_000 })
  const before = await sites.textContent()
  await dialog.getByLabel('Angle of a cut, 1 SD').fill('0')
  await dialog.getByLabel('Angle of a cut, 1 SD').press('Enter')
  await dialog.getByLabel('Depth of a cut, 1 SD').fill('0')
  await dialog.getByLabel('Depth of a cut, 1 SD').press('Enter')
  await expect(dialog.getByText('run it again')).toBeVisible()
  await dialog.getByRole('button', { name: 'Run' }).click()
  await expect(dialog.getByText('run it again')).toBeHidden({ timeout: 60_000 })
  await expect(sites).not.toHaveText(before ?? '')
  const csv = await downloaded(page, () => dialog.getByRole('button', { name: 'Save as CSV…' }).click())
  expect(csv).toContain('cut angles 0 deg, depth 0 mm')
})

test('a component table is typed over and planned with; what cannot be built is said', async ({ leg: page }) => {
  await page.getByRole('button', { name: 'Component table…' }).click()
  const dialog = page.getByRole('dialog', { name: 'Component table' })
  const posterior = dialog.getByLabel(/^posterior, row/)
  await posterior.first().fill('99')
  await dialog.getByRole('button', { name: 'Plan with it' }).click()
  await expect(dialog.getByRole('alert')).toContainText('posterior thickness 99')
  for (const cell of await posterior.all()) await cell.fill('9.5')
  await dialog.getByRole('button', { name: 'Plan with it' }).click()
  await expect(dialog).toBeHidden()
  await expect(page.getByLabel('Family')).toHaveValue('own')
  await planned(page)
  await expect(field(page, 'Depth, posterior medial')).toHaveValue('7.5')
})

test('two parameters make a map with limit lines, saved as picture; the study stays in the case', async ({
  leg: page,
}) => {
  test.setTimeout(240_000)
  await page.keyboard.press('w')
  const dialog = page.getByRole('dialog', { name: 'Sweep' })
  await dialog.getByRole('button', { name: 'And a second parameter' }).click()
  const [one, two] = [
    dialog.getByRole('group', { name: 'First parameter' }),
    dialog.getByRole('group', { name: 'Second parameter' }),
  ]
  for (const [group, from, to, step] of [
    [one, '0', '8', '4'],
    [two, '2', '8', '3'],
  ] as const) {
    await group.getByLabel('from').fill(from)
    await group.getByLabel('to').fill(to)
    await group.getByLabel('step').fill(step)
  }
  await dialog.getByRole('button', { name: 'Run', exact: true }).click()
  await expect(dialog.getByRole('img', { name: /over tibia varus, ° and tibia slope/ })).toBeVisible({
    timeout: 120_000,
  })
  await dialog.getByLabel('Name of the study').fill('varus and slope')
  await dialog.getByRole('button', { name: 'Keep it' }).click()
  await expect(dialog.getByRole('button', { name: 'Run “varus and slope”' })).toBeVisible()
  const svg = await downloaded(page, () => dialog.getByRole('button', { name: 'Save as SVG…' }).click())
  expect(svg).toContain('class="limit"')
  const download = page.waitForEvent('download')
  await dialog.getByRole('button', { name: 'Save as PNG…' }).click()
  const png = readFileSync(await (await download).path())
  expect(png.subarray(1, 4).toString('latin1')).toBe('PNG')
  expect(png.readUInt32BE(16)).toBe(1520)
  expect(png.toString('latin1')).toContain('not a medical device')
})

test('one click changes the alignment on the loading stage; own bearing surfaces are loaded or refused', async ({
  leg: page,
}) => {
  await stage(page, 'Loading').click()
  const straight = page.getByRole('region', { name: 'Along the tibia' })
  const before = await straight.textContent()
  await page.getByRole('region', { name: 'Alignment' }).getByText('Mechanical').click()
  await planned(page)
  await expect(straight).not.toHaveText(before ?? '')
  await page.getByRole('region', { name: 'Pressure on the bearing' }).getByText('Under the tray').click()
  const tray = page.getByRole('region', { name: 'Pressure under the tray' })
  await expect(tray.getByRole('img', { name: /map of pressure/ })).toHaveCount(2)
  await expect(tray).toContainText('a reference, no verdict')
  const load = async (text: string) => {
    const chooser = page.waitForEvent('filechooser')
    await page.getByRole('button', { name: 'Own condyle surface…' }).click()
    await (await chooser).setFiles({ name: 'condyle.csv', mimeType: 'text/csv', buffer: Buffer.from(text) })
  }
  await load('at,height\n0,0\n')
  await expect(page.getByRole('alert').first()).toContainText('direction, at_mm and height_mm')
  const rows = [-20, -10, 0, 10, 20].map((at) => `coronal,${at},${((at * at) / 50).toFixed(2)}`)
  await load(`direction,at_mm,height_mm\n${rows.join('\n')}\n`)
  await expect(page.getByRole('button', { name: /Back to the family’s surfaces \(1 own\)/ })).toBeVisible()
  const mesh = page.waitForEvent('filechooser')
  await page.getByRole('button', { name: 'Insert surface from a mesh…' }).click()
  await (await mesh).setFiles({ name: 'dish.stl', mimeType: 'model/stl', buffer: Buffer.from(bowl()) })
  await expect(page.getByRole('button', { name: /Back to the family’s surfaces \(3 own\)/ })).toBeVisible()

  // Forces over time: contact moment by moment, as a chart and as a table.
  await page.getByRole('button', { name: 'Load series…' }).click()
  const dialog = page.getByRole('dialog', { name: 'Load series' })
  const choose = async (table: string) => {
    const chooser = page.waitForEvent('filechooser')
    await dialog.getByRole('button', { name: 'Choose a table…' }).click()
    await (await chooser).setFiles({ name: 'loads.csv', mimeType: 'text/csv', buffer: Buffer.from(table) })
  }
  await choose('time,axial_N\n0,much\n')
  await expect(dialog.getByRole('alert')).toContainText('row 1')
  await choose('time,axial_N,at_lateral_mm\n0,600,0\n0.5,1800,-3\n1,700,0\n')
  await expect(dialog.getByRole('img', { name: /Load series: axial, medial.peakMpa/ })).toBeVisible({ timeout: 60_000 })
  const csv = await downloaded(page, () => dialog.getByRole('button', { name: 'Save as CSV…' }).click())
  expect(csv.split('\n').filter((line) => /^[\d.]+,\d/.test(line))).toHaveLength(3)
  expect(csv).toMatch(/^time,axial \[N\],/m)
})

/** An ASCII STL of a shallow bowl, 40 mm wide, radii 60: the upper face of a dish in tray axes. */
function bowl(): string {
  const z = (x: number, y: number) => (x * x + y * y) / 120
  const corner = (x: number, y: number) => `vertex ${x} ${y} ${z(x, y)}`
  const facet = (...corners: readonly string[]) => `facet normal 0 0 1 outer loop ${corners.join(' ')} endloop endfacet`
  const facets: string[] = []
  for (let x = -20; x < 20; x += 2)
    for (let y = -20; y < 20; y += 2) {
      const [a, b, c, d] = [corner(x, y), corner(x + 2, y), corner(x + 2, y + 2), corner(x, y + 2)]
      facets.push(facet(a, b, c), facet(a, c, d))
    }
  return `solid bowl\n${facets.join('\n')}\nendsolid bowl\n`
}

test('a pressed number opens its model, with its inputs as they are', async ({ leg: page }) => {
  await stage(page, 'Stance').click()
  await page.getByRole('region', { name: 'To the floor' }).getByRole('button').first().click()
  const dialog = page.getByRole('dialog', { name: 'Explained: The standing leg' })
  await expect(dialog).toContainText('asin(−m·up)')
  // The same number as the ledger's, to its tenth of a degree.
  const inLedger = ledger(page).getByRole('row', { name: /LDFA/ }).locator('.aligned-number.strong')
  const goesIn = numberIn((await dialog.textContent())!.split('after, ldfa: ')[1] ?? null)
  expect(Math.abs(goesIn - numberIn(await inLedger.textContent()))).toBeLessThan(0.051)
  await expect(dialog).toContainText('Foot spacing dominates')
  await dialog.getByRole('button', { name: 'Close' }).click()
  await page.keyboard.press('e')
  await expect(page.getByRole('region', { name: 'To the floor' }).getByRole('button').first()).toHaveAttribute(
    'tabindex',
    '0',
  )
})

test('both legs stand in the view, and rise from lying under the hand', async ({ leg: page }) => {
  await stage(page, 'Stance').click()
  const canvas = page.locator('.scene canvas')
  const slider = page.getByRole('slider', { name: 'Lying to standing' })
  await expect(slider).toHaveAttribute('aria-valuetext', 'standing')
  await page.getByRole('button', { name: 'Fit', exact: true }).click()
  const settled = async () => {
    let before = await canvas.screenshot()
    await expect(async () => {
      const now = await canvas.screenshot()
      const same = now.equals(before)
      before = now
      expect(same).toBe(true)
    }).toPass({ timeout: 30_000 })
    return before
  }
  const standing = await settled()
  await page.getByLabel('the other leg, mirrored').uncheck()
  const alone = await settled()
  expect(alone.equals(standing)).toBe(false)
  await page.getByLabel('the other leg, mirrored').check()
  await slider.fill('50')
  await expect(slider).toHaveAttribute('aria-valuetext', '50 % risen')
  const half = await settled()
  expect(half.equals(standing)).toBe(false)
  await page.getByRole('button', { name: 'Stand up' }).click()
  await expect(slider).toHaveAttribute('aria-valuetext', 'standing')
})

test('the other leg stands on its own bones, and comes back with the case', async ({ window: page }) => {
  await openLeg(page, leftLeg)
  await stage(page, 'Stance').click()
  const section = page.getByRole('region', { name: 'Other leg' })
  const chooser = page.waitForEvent('filechooser')
  await section.getByRole('button', { name: 'From its femur and tibia…' }).click()
  await (await chooser).setFiles([sharedPath('bones/hra/femur_right.ply'), sharedPath('bones/hra/tibia_right.ply')])
  await expect(section).toContainText('Drawn from its own bones.', { timeout: 60_000 })
  await expect(page.locator('.leg.other')).toHaveCount(1)
  await expect(page.locator('.leg.mirrored')).toHaveCount(0)
  await expect(page.getByLabel('the other leg, its own bones')).toBeChecked()
  const download = page.waitForEvent('download')
  await page.keyboard.press('Control+s')
  const bytes = readFileSync(await (await download).path())
  await page.reload()
  await openThroughDialog(page, [{ name: 'pair.floorline', mimeType: 'application/octet-stream', buffer: bytes }])
  await planned(page)
  await expect(page.locator('.leg.other')).toHaveCount(1, { timeout: 60_000 })
})

test('planned against achieved: the uncut tibia is told that it was never cut', async ({ leg: page }) => {
  await stage(page, 'Report').click()
  const chooser = page.waitForEvent('filechooser')
  await page.getByRole('button', { name: 'Tibia after the cuts…' }).click()
  await (await chooser).setFiles(rightLeg[1]!)
  const section = page.getByRole('region', { name: 'Planned against achieved' })
  await expect(section.getByRole('alert')).toContainText('No flat face', { timeout: 60_000 })
})
