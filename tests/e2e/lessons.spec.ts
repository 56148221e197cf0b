import { bigFigure, openTornFile } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

test('a lesson plays from start to end by keyboard on the knee that is open, a broken file on the way, and gives the case back', async ({
  leg: page,
}) => {
  const figure = await bigFigure(page).textContent()
  await page.keyboard.press('Control+k')
  await page.getByRole('combobox', { name: 'Find a command' }).fill('why a tilted')
  await page.keyboard.press('Enter')
  const lesson = page.getByRole('region', { name: 'Lesson: Why a tilted cut can stand level' })
  await expect(lesson).toContainText('1 of 6')
  await expect(lesson).toContainText(/meets its joint line at \d\d\.\d° instead of 90°/)
  await page.keyboard.press('ArrowRight')
  await expect(lesson).toContainText(/it is \d+\.\d° of varus/)
  await page.keyboard.press('ArrowRight')
  await expect(lesson).toContainText('where is the tray?')
  await expect(bigFigure(page)).toBeHidden()
  await page.keyboard.press('ArrowRight')
  await expect(lesson, 'an unanswered question is not passed by').toContainText('3 of 6')
  await lesson.getByRole('button', { name: 'Nearly level with the floor' }).press('Enter')
  await expect(lesson).toContainText(/On this knee/)
  await expect(bigFigure(page)).toBeVisible()
  for (const title of ['And the square cut?', 'Move the feet apart', 'The counter-argument']) {
    await page.keyboard.press('ArrowRight')
    await expect(lesson).toContainText(title)
    await expect(lesson).not.toContainText('(not known)')
  }
  // A file opened in a lesson belongs to the case: the lesson gives it back first, and may be begun again.
  await openTornFile(page)
  await expect(lesson).toBeHidden()
  await expect(bigFigure(page)).toHaveText(figure!)
  await page.keyboard.press('Control+k')
  await page.getByRole('combobox', { name: 'Find a command' }).fill('why a tilted')
  await page.keyboard.press('Enter')
  for (let step = 1; step < 6; step++) {
    await expect(lesson).toContainText(`${step} of 6`)
    if (step === 3) await lesson.getByRole('button', { name: 'Nearly level with the floor' }).press('Enter')
    await page.keyboard.press('ArrowRight')
  }
  await expect(lesson).toContainText('6 of 6')
  await page.keyboard.press('Escape')
  await expect(lesson).toBeHidden()
  await expect(bigFigure(page)).toHaveText(figure!)
  await expect(page.getByRole('button', { name: /^Undo open tibia/ })).toBeVisible()
})
