import { bigFigure, openThroughDialog, planned, rightLeg } from './bones.ts'
import { expect, test } from './harness.ts'

test('a lesson plays from start to end by keyboard on the knee that is open, and gives the case back', async ({
  window: page,
}) => {
  await openThroughDialog(page, rightLeg)
  await planned(page)
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
  await page.keyboard.press('Escape')
  await expect(lesson).toBeHidden()
  await expect(bigFigure(page)).toHaveText(figure!)
  await expect(page.getByRole('button', { name: /^Undo open tibia/ })).toBeVisible()
})
