import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type CutLeg, cutLeg } from '../cut-leg.ts'
import { numberIn, openThroughDialog, planned, stage } from './bones.ts'
import { expect, test } from './harness.ts'

let folder = ''
let leg: CutLeg
test.beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'floorline-cut-leg-'))
  leg = cutLeg(folder)
})
test('one file with slabs of hip, knee and ankle opens as femur, tibia and their companions', async ({
  window: page,
}) => {
  await openThroughDialog(page, [leg.allSlabs])
  await planned(page)
  await stage(page, 'Bones').click()
  for (const name of ['Femur', 'Tibia', 'Femoral head', 'Distal tibia'])
    await expect(page.getByRole('region', { name, exact: true })).toContainText('all-slabs.stl')

  // The set is signed off, a change of it is told, and undone it is the signed one again.
  await stage(page, 'Landmarks').click()
  const signature = page.getByText(/^18 landmarks, none set by hand/)
  await expect(signature).toContainText('not signed off')
  await page.getByRole('button', { name: 'Sign off these landmarks' }).click()
  await expect(signature).toContainText('signed off as they stand')
  await page.getByLabel('Tibial knee centre').selectOption('plateaus')
  await expect(signature).toContainText('changed since they were signed off')
  await page.keyboard.press('Control+z')
  await expect(signature).toContainText('signed off as they stand')
  if (process.env['FLOORLINE_LOOK']) await page.screenshot({ path: join(process.env['FLOORLINE_LOOK'], 'signed.png') })
})

test.afterAll(() => rmSync(folder, { recursive: true, force: true }))

test('a truncated knee gets hip and ankle from files of their own, told by shape, undoable, and corrected by hand', async ({
  window: page,
}) => {
  await openThroughDialog(page, [leg.thigh, leg.shin])
  await planned(page)
  await stage(page, 'Landmarks').click()
  const hka = page.locator('.angle-list li').filter({ hasText: /^HKA/ }).locator('.angle-value')
  await expect(hka).toHaveText(/^–/)
  const hip = page.locator('.landmark-row').filter({ hasText: 'Hip centre' })
  await expect(hip).toContainText('not found')

  // The order does not matter: the fibula before the ankle that says which way is down.
  await openThroughDialog(page, [leg.fibula])
  await openThroughDialog(page, [leg.head, leg.ankle])
  await expect(hip).toContainText('From hip-part.stl')
  await expect(hip).toContainText(/0\.2 mm/)
  await expect(page.locator('.landmark-row').filter({ hasText: 'Malleolus, lateral' })).toContainText(
    'fibula_right.stl',
  )
  await planned(page)
  // The whole bones’ 181.3° (the command line’s own test holds the parts against them).
  await expect.poll(async () => numberIn(await hka.textContent())).toBeCloseTo(181.3, 0)

  await stage(page, 'Bones').click()
  const head = page.getByRole('region', { name: 'Femoral head' })
  await expect(head).toContainText('femoral head, 100 % sure')
  await expect(head).toContainText('radius 23.1 mm')
  if (process.env['FLOORLINE_LOOK'])
    await page.screenshot({ path: join(process.env['FLOORLINE_LOOK'], 'companions.png') })

  // A wrong correction is refused with its reason, and the file stays what it was.
  await head.getByLabel('This file is').selectOption('Fibula')
  await expect(page.getByRole('alert')).toContainText(/hip-part\.stl/)
  await page.getByRole('button', { name: 'Dismiss' }).press('Enter')
  await expect(head).toBeVisible()
  await head.getByRole('button', { name: 'Remove femoral head' }).click()
  await expect(head).toBeHidden()
  await page.keyboard.press('Control+z')
  await expect(head).toBeVisible()
  // Undone to the last: opening head and ankle was one step.
  await page.keyboard.press('Control+z')
  await expect(head).toBeHidden()
  await expect(page.getByRole('region', { name: 'Fibula' })).toBeVisible()
})
