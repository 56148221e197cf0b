import { numberIn, planned, stage } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

test('the maps lie on the piece and on the insert in the view, each with its figures beside the colours', async ({
  leg: page,
}) => {
  test.setTimeout(240_000)
  const tag = (name: string) => page.locator(`.view-tag[data-name="painted ${name}"]`)
  await page.getByRole('button', { name: 'Thickness map' }).click()
  const card = page.getByRole('region', { name: 'Thickness of the piece' })
  await expect(card).toContainText(/mm to .* mm/, { timeout: 60_000 })
  await expect(tag('thickest')).toBeVisible()
  await expect(tag('thickest')).toHaveText(/^thickest \d+\.\d mm \([+−]?\d+\.\d mm\)$/)
  await expect(card).toContainText(`${numberIn(await tag('thickest').textContent()).toFixed(1)} mm, mean`)
  await stage(page, 'Loading').click()
  await planned(page)
  await expect(tag('thickest'), 'the piece is not on this stage').toHaveCount(0)
  const inView = page.getByRole('group', { name: 'On the insert in the view' })
  await expect(inView).toBeVisible({ timeout: 120_000 })
  await inView.getByText('straight down').click()
  await expect(tag('medial')).toHaveText(/^medial \d+\.\d MPa$/)
  await expect(tag('lateral')).toHaveText(/^lateral \d+\.\d MPa$/)
  await inView.getByText('nothing').click()
  await expect(tag('medial')).toHaveCount(0)
})
