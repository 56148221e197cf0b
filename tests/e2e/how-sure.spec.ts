import { field, stage } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

test('an angle opens its interval, its budget and other definitions; entered scatter and limits are answered', async ({
  leg: page,
}) => {
  await stage(page, 'Landmarks').click()
  const angles = page.getByRole('region', { name: 'Angles' })
  const mpta = angles.locator('.angle').filter({ has: page.getByText('MPTA', { exact: true }) })
  await expect(mpta.locator('.angle-interval')).toHaveText(/^±\d+\.\d$/)
  await mpta.locator('summary').click()
  await expect(mpta).toContainText(/95 %: \d+\.\d° to \d+\.\d°/)
  await expect(mpta.getByRole('row', { name: /meshed surface/ })).toBeVisible()
  await expect(mpta.getByRole('list', { name: 'By other definitions' })).toContainText('Plain line')
  await expect(mpta).toContainText('Feucht et al.')
  await test.step('the nine types by other definitions stand under the type, its words beside it', async () => {
    const type = angles.locator('.angle').filter({ has: page.getByText('Coronal type', { exact: true }) })
    await expect(type).toContainText(/(varus|neutral|valgus), (apex|level)/)
    await type.locator('summary').click()
    const others = type.getByRole('list', { name: 'By other definitions' }).getByRole('listitem')
    await expect(others.filter({ hasText: 'MPTA by the plain line' }).locator('strong')).toHaveText(/^[IVX]+$/)
    await type.locator('summary').click()
  })
  await test.step('the index brings a part into view, and a fit pointed at is named on the bone', async () => {
    const index = page.getByRole('navigation', { name: 'Parts of this stage' })
    await index.getByRole('button', { name: 'Fits' }).click()
    const fits = page.getByRole('region', { name: 'Fits and shapes' })
    await expect(fits).toBeFocused()
    const cylinder = fits.getByRole('button', { name: 'Draw: condylar cylinder' })
    await expect(cylinder).toHaveAttribute('aria-pressed', 'true')
    await cylinder.focus()
    await expect(page.locator('.view-tag[data-name="shape"]')).toHaveText('Condylar cylinder')
    await index.getByRole('button', { name: 'Angles' }).click()
    await expect(page.locator('.view-tag[data-name="shape"]')).toHaveCount(0)
  })
  await test.step('one click uses another definition', async () => {
    await mpta.getByRole('button', { name: 'Use: knee centre between the plateau points' }).click()
    await expect(page.getByLabel('Tibial knee centre')).toHaveValue('plateaus')
  })
  await test.step('an exact surface leaves less of the interval', async () => {
    const before = Number((await mpta.locator('.angle-interval').textContent())!.slice(1))
    const surface = field(page, 'Surface within ±')
    await surface.fill('0')
    await surface.press('Enter')
    await expect
      .poll(async () => Number(((await mpta.locator('.angle-interval').textContent()) ?? '').slice(1)) || 99, {
        timeout: 60_000,
      })
      .toBeLessThan(before)
  })
  await test.step('a narrower limit raises a flag that says what it changes', async () => {
    const flags = page.getByRole('region', { name: 'Extreme anatomy' })
    await flags.getByText('Limits', { exact: true }).click()
    const slope = field(page, 'Slope to')
    await slope.fill('1')
    await slope.press('Enter')
    await expect(flags.locator('[data-flag="slope-medial"]')).toContainText('kinematic slope')
    const convergence = field(page, 'Joint line convergence')
    await convergence.fill('0')
    await convergence.press('Enter')
    await expect(flags.locator('[data-flag="joint-line-convergence"]')).toContainText('as the files lie')
  })
  await page.screenshot({ path: test.info().outputPath('how-sure.png') })
})
