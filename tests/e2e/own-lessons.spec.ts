import { readFileSync } from 'node:fs'
import { unzipSync } from 'fflate'
import type { Download, Page } from 'playwright/test'
import { field, leftLeg, numberIn, openLeg, openThroughDialog, planned, rightLeg, stage } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

const clickCommand = async (page: Page, words: string) => {
  await page.keyboard.press('Control+k')
  await page.getByRole('combobox', { name: 'Find a command' }).fill(words)
  await page.keyboard.press('Enter')
}
const bytesOf = async (download: Promise<Download>) => readFileSync(await (await download).path())
const lessons = (page: Page) => page.getByRole('dialog', { name: 'Lessons' })

/** Records a lesson of two steps: the cut two degrees more varus at the second. */
async function record(page: Page): Promise<void> {
  await clickCommand(page, 'record a lesson')
  const bar = page.getByRole('region', { name: 'Lesson editor' })
  await bar.getByRole('textbox', { name: 'Title of the lesson' }).fill('My varus')
  await bar.getByRole('button', { name: 'Record this as a step' }).click()
  const words = page.getByRole('dialog', { name: 'Words of the step' })
  await words.getByLabel('Title').fill('As the recipe says')
  await words.getByLabel('Words').fill('MPTA was {{angles.mptaDeg}}.')
  await words.getByLabel('Speaker notes').fill('Breathe.')
  await words.getByRole('button', { name: 'Keep it' }).click()
  await field(page, 'Varus').fill('6')
  await field(page, 'Varus').press('Enter')
  await planned(page)
  await bar.getByRole('button', { name: 'Record this as a step' }).click()
  await words.getByLabel('Title').fill('Six degrees')
  await words
    .getByLabel('Words')
    .fill(
      'The cut is {{cuts.tibia.varusDeg}} of varus; the tray stands at {{stance.feet-together.trayToFloorCoronalDeg}}.',
    )
  await expect(words).toContainText(/On this knee: The cut is 6\.0° of varus/)
  await words.getByText('Ask before it is shown').click()
  await words.getByLabel('Question').fill('Will it stand level?')
  await words.getByLabel('Answers, one a line').fill('Medial side down\nLevel or lateral side down')
  await words.getByLabel('Number that decides').fill('stance.feet-together.trayToFloorCoronalDeg')
  await words.getByRole('button', { name: 'Keep it' }).click()
  await expect(words.getByRole('alert')).toContainText('1 threshold for 2 answers')
  await words.getByLabel('The first answer above').fill('1')
  await words.getByRole('button', { name: 'Keep it' }).click()
  await bar.getByRole('button', { name: 'Keep and close' }).click()
}

test('a lesson is recorded, leaves the case as it was but for itself, and tells another bone’s own numbers', async ({
  window: page,
}) => {
  test.setTimeout(240_000)
  await openLeg(page, rightLeg)
  const varus = await field(page, 'Varus').inputValue()
  await record(page)
  await planned(page)
  await expect(field(page, 'Varus')).toHaveValue(varus)
  await expect(page.getByRole('button', { name: /^Undo lesson My varus/ })).toBeVisible()
  await clickCommand(page, 'all lessons')
  const file = page.waitForEvent('download')
  await lessons(page).getByRole('button', { name: 'Save as a file…: My varus' }).click()
  expect((await file).suggestedFilename()).toBe('My varus.floorlesson')
  const lessonBytes = await bytesOf(file)

  await clickCommand(page, 'all lessons')
  await lessons(page).getByRole('button', { name: 'Play: My varus' }).click()
  const lesson = page.getByRole('region', { name: 'Lesson: My varus' })
  await expect(lesson).toContainText(/MPTA was \d\d\.\d°/)
  const here = numberIn((await lesson.textContent())?.split('MPTA was ')[1] ?? null)
  await page.keyboard.press('PageDown')
  await expect(lesson).toContainText('Will it stand level?')
  await page.keyboard.press('1')
  await expect(lesson).toContainText(/The cut is 6\.0° of varus; the tray stands at .*°/)
  await page.keyboard.press('Escape')

  await page.reload()
  await openThroughDialog(page, leftLeg)
  await planned(page)
  await stage(page, 'Cuts').click()
  await openThroughDialog(page, [{ name: 'x.floorlesson', mimeType: 'application/json', buffer: lessonBytes }])
  await lessons(page).getByRole('button', { name: 'Play: My varus' }).click()
  await expect(lesson).toContainText(/MPTA was \d\d\.\d°/)
  const there = numberIn((await lesson.textContent())?.split('MPTA was ')[1] ?? null)
  expect(there).not.toBe(here)
  await page.keyboard.press('n')
  await expect(lesson.getByRole('complementary', { name: 'Speaker notes' })).toHaveText('Breathe.')
})

test('an own cut is compared with the rule, line by line with reasons, and the numbers wait until then', async ({
  leg: page,
}) => {
  await clickCommand(page, 'thickness in equals')
  const lesson = page.getByRole('region', { name: 'Lesson: Thickness in equals thickness out' })
  for (const title of ['What the caliper would read', 'The worn side']) {
    await page.keyboard.press('ArrowRight')
    await expect(lesson).toContainText(title)
  }
  await lesson.getByRole('button', { name: /Under 6 mm/ }).click()
  await page.keyboard.press('ArrowRight')
  await expect(lesson).toContainText('Place the tibial cut')
  await expect(page.getByRole('region', { name: 'Removed', exact: true })).toBeHidden()
  await lesson.getByRole('spinbutton', { name: /^Tibia, varus/ }).fill('12')
  await lesson.getByRole('spinbutton', { name: /^Tibia, varus/ }).press('Enter')
  await lesson.getByRole('spinbutton', { name: /^Tibia, depth/ }).fill('9')
  await lesson.getByRole('spinbutton', { name: /^Tibia, depth/ }).press('Enter')
  await lesson.getByRole('button', { name: 'Compare with the rule' }).click()
  await expect(lesson).toContainText(/\d of \d held against the rule/)
  await expect(lesson.getByRole('listitem').filter({ hasText: 'Tibia, varus' })).toContainText(
    /Not held\. \+\d\.\d° off/,
  )
  await expect(lesson.getByRole('listitem').filter({ hasText: 'Tibia, medial' })).toContainText(
    /taken than the component/,
  )
  await expect(page.getByRole('region', { name: 'Removed', exact: true })).toBeVisible()
})

test('a lesson is written as a page that stands alone and as pictures, and the case comes back', async ({
  leg: page,
}) => {
  test.setTimeout(300_000)
  const varus = await field(page, 'Varus').inputValue()
  await clickCommand(page, 'all lessons')
  const html = page.waitForEvent('download', { timeout: 120_000 })
  await lessons(page).getByRole('button', { name: 'Save as a page…: What a limit costs' }).click()
  const text = (await bytesOf(html)).toString('utf8')
  expect(text.match(/<section /g)).toHaveLength(4)
  expect(text.match(/data:image\/png;base64,[A-Za-z0-9+/=]{5000}/g)).toHaveLength(4)
  expect(text).not.toMatch(/\{\{|not known|<script|femur_right/)
  const zip = page.waitForEvent('download', { timeout: 120_000 })
  await clickCommand(page, 'all lessons')
  await lessons(page).getByRole('button', { name: 'Save as pictures…: What a limit costs' }).click()
  const files = unzipSync(await bytesOf(zip))
  expect(Object.keys(files)).toEqual(['01.png', '02.png', '03.png', '04.png'])
  for (const png of Object.values(files)) {
    expect([Buffer.from(png).readUInt32BE(16), Buffer.from(png).readUInt32BE(20)]).toEqual([1920, 1080])
    expect(Buffer.from(png.subarray(0, 400)).toString('latin1')).toContain('not a medical device')
  }
  await planned(page)
  await expect(field(page, 'Varus')).toHaveValue(varus)
  if (process.env['FLOORLINE_KEEP']) {
    const { mkdirSync, writeFileSync } = await import('node:fs')
    mkdirSync('test-results/lesson', { recursive: true })
    writeFileSync('test-results/lesson/lesson.html', text)
    for (const [name, png] of Object.entries(files)) writeFileSync(`test-results/lesson/${name}`, png)
  }
})

test('the view is drawn over with a pen, the lines stay until they are cleared, and the spot follows the pointer', async ({
  leg: page,
}) => {
  const view = (await page.getByRole('main', { name: 'View' }).boundingBox())!
  const middle = { x: view.x + view.width / 2, y: view.y + view.height / 2 }
  await page.keyboard.press('g')
  await page.mouse.move(middle.x, middle.y)
  await page.mouse.down()
  await page.mouse.move(middle.x + 60, middle.y + 40, { steps: 4 })
  await page.mouse.up()
  const layer = page.getByRole('img', { name: /^Drawing over the view/ })
  await expect(layer).toHaveAccessibleName('Drawing over the view, 1 line')
  await page.keyboard.press('Shift+G')
  await expect(layer).toHaveAccessibleName('Drawing over the view, 0 lines')
  await page.keyboard.press('j')
  await page.mouse.move(middle.x + 10, middle.y)
  await expect(page.locator('.pointer-spot')).toBeVisible()
  await page.keyboard.press('j')
  await expect(layer).toHaveCount(0)
})
