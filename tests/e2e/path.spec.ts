import { bigFigure, field, ledger, leftLeg, openThroughDialog, planned, rightLeg, stage } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

test('two bone files become landmarks, cuts, a standing leg, loads and a report', async ({ window: page }) => {
  await openThroughDialog(page, rightLeg)
  await expect(page.getByRole('region', { name: 'Femur' })).toContainText('closed')
  await expect(page.getByRole('region', { name: 'Tibia' })).toContainText('6\u2009850')
  await planned(page)
  await expect(page.getByRole('heading', { level: 1 })).toContainText('right knee')

  await stage(page, 'Landmarks').click()
  await expect(page.getByRole('button', { name: /Hip centre/ })).toBeVisible()
  await expect(page.getByRole('region', { name: 'Angles' })).toContainText(/LDFA8\d\.\d°/)

  await stage(page, 'Cuts').click()
  await expect(page.getByRole('radio', { name: 'Kinematic' })).toBeChecked()
  await expect(ledger(page).getByText(/Tibia, medial: 10\.0 mm taken, 10\.0 mm put back/)).toBeAttached()
  await page.getByText('Mechanical', { exact: true }).click()
  await expect(field(page, 'Varus')).toHaveValue('0.0')
  await expect(field(page, 'Valgus')).toHaveValue('0.0')
  await expect(ledger(page).getByRole('row', { name: /MPTA/ })).toContainText('90.0°')

  await stage(page, 'Stance').click()
  await expect(bigFigure(page)).toHaveText(/^\d+\.\d°$/)
  await page.getByText('One leg', { exact: true }).first().click()
  await expect(page.getByText('Geometric, no trunk shift.')).toBeVisible()

  await stage(page, 'Loading').click()
  for (const direction of ['Straight down', 'Along the tibia'])
    await expect(page.getByRole('region', { name: direction })).toContainText(/Shear to compression\d\.\d{3}/)

  await stage(page, 'Report').click()
  await expect(page.getByRole('article', { name: 'Report' })).toContainText('RIGHT')
  await expect(page.getByRole('article', { name: 'Report' })).toContainText('Piece measured')
})

test('the left leg is recognised as left from its shape', async ({ window: page }) => {
  await openThroughDialog(page, leftLeg)
  await planned(page)
  await expect(page.getByRole('heading', { level: 1 })).toContainText('left knee')
  await expect(page.getByText('Side not declared: taken from shape.')).toBeVisible()
})

test('a demo case opens from the start page and can be undone in one step', async ({ window: page }) => {
  await page.getByRole('region', { name: 'Demo cases' }).getByRole('button').first().click()
  await planned(page)
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Heron')
  await page.getByRole('button', { name: /^Undo open Heron/ }).click()
  await expect(page.getByRole('region', { name: 'Begin' })).toBeVisible()
})

test('everything is told in words for those who do not see the picture', async ({ leg: page }) => {
  await expect(page.getByRole('status', { name: 'The plan in words' })).toContainText(
    /right knee, kinematic recipe\. Tibial cut .* varus, slope/,
  )
})
