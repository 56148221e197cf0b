import { bigFigure, openThroughDialog, openTornFile, planned, rightLeg, stage } from './bones.ts'
import { tabTo } from './by-keyboard.ts'
import { expect, test } from './harness.ts'
import { readPdf } from './read-pdf.mjs'

const caution = /not a medical device and not for guiding a cut/
const sites = [
  'Tibia, medial',
  'Tibia, lateral',
  'Femur distal, medial',
  'Femur distal, lateral',
  'Femur posterior, medial',
  'Femur posterior, lateral',
]

test('from two bone files to the printed report by keyboard alone, a broken file on the way, and the PDF read back', async ({
  window: page,
}) => {
  test.setTimeout(240_000)
  await page.evaluate(() => {
    window.print = () => document.documentElement.setAttribute('data-printed', 'yes')
  })
  await openThroughDialog(page, rightLeg)
  await planned(page)
  await openTornFile(page)
  await page.keyboard.press('Alt+3')
  await expect(stage(page, 'Cuts')).toHaveAttribute('aria-current', 'step')
  await tabTo(page, page.getByRole('radio', { name: 'Kinematic' }))
  await page.keyboard.press('ArrowRight')
  await expect(page.getByRole('radio', { name: 'Restricted' })).toBeChecked()
  await planned(page)
  await tabTo(page, page.getByRole('spinbutton', { name: 'Varus' }))
  await page.keyboard.press('ArrowUp')
  await page.keyboard.press('Enter')
  await planned(page)
  const tilt = await bigFigure(page).textContent()
  await page.keyboard.press('Control+p')
  await expect(page.locator('html')).toHaveAttribute('data-printed', 'yes')
  const report = page.getByRole('article', { name: 'Report' })
  await expect(report).toContainText(/Alternatives|Recipes compared/, { timeout: 90_000 })

  const title = await page.title()
  expect(title).not.toBe('Rehearsal expectation')
  await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')))
  expect(await page.title(), 'the name of the case stays out of the printed page’s title').toBe('Rehearsal expectation')
  await page.evaluate(() => window.dispatchEvent(new Event('afterprint')))
  expect(await page.title()).toBe(title)

  await page.emulateMedia({ media: 'print' })
  const pages = await readPdf(await page.pdf({ preferCSSPageSize: true }))
  expect(pages.length).toBeGreaterThanOrEqual(2)
  expect(pages.length).toBeLessThanOrEqual(8)
  pages.forEach((text, k) => {
    expect(text, `caution on page ${k + 1}`).toMatch(caution)
    expect(text, `number of page ${k + 1}`).toContain(`${k + 1} / ${pages.length}`)
  })
  const all = pages.join(' ')
  for (const words of [
    'rehearsal expectation',
    'RIGHT',
    'restricted recipe',
    'Piece measured',
    'Taken and put back',
    'Cuts',
    'Aligned',
    'Limits',
    'Stands',
    'Loaded',
    'Warnings',
    'Assumptions',
    'Not judged',
    'patella',
    'inside the entered limit',
    'not verified against the patient',
    ...sites,
  ])
    expect(all.toLowerCase()).toContain(words.toLowerCase())
  expect(all, 'no name of a file').not.toMatch(/femur_right|tibia_right|torn/)
  // Row by row, cell by cell: the paper says what the window says.
  const rows = await report.evaluate((element) =>
    [...element.shadowRoot!.querySelectorAll('table')].slice(0, 2).flatMap((table) =>
      [...table.querySelectorAll('tbody tr')].map((row) =>
        [...row.querySelectorAll('td')]
          .map((cell) => cell.textContent!.trim())
          .filter(Boolean)
          .join(' '),
      ),
    ),
  )
  expect(rows.length).toBeGreaterThanOrEqual(12)
  const bare = (text: string) => text.replace(/\s+/g, '')
  for (const row of rows) expect(bare(all)).toContain(bare(row))
  // The tray's tilt as the window has it stands in the row of its pose.
  expect(all).toMatch(new RegExp(`feet together .*[+−]?${tilt!.replace('°', '').replace('.', '\\.')} `))
})
