import type { Page } from 'playwright/test'
import { openLeg, rightLeg, stage } from './bones.ts'
import { test as base, expect, hearFileChoosers, listenForComplaints } from './harness.ts'

interface LegInHand {
  readonly page: Page
  readonly complaints: string[]
  /** What the window said when the leg had just been opened, and which of the view's switches were on. */
  readonly said: string
  readonly pressed: readonly string[]
}

interface LegHolder {
  /** The window with the right leg as it was when it was opened: the one in hand undone, or a new one. */
  take(address: string): Promise<LegInHand>
}

/**
 * Tests on a right leg, planned, on the cuts stage. Opening one costs more than most of what is tried on it: a worker's
 * tests take one after the other, each after the program's own undo. A window that does not say afterwards, word for word
 * and number for number, what it said in the beginning is thrown away, and the next test opens its own.
 */
export const test = base.extend<{ readonly leg: Page }, { readonly legHolder: LegHolder }>({
  legHolder: [
    async ({ browser }, use) => {
      let inHand = null as LegInHand | null
      await use({
        async take(address) {
          if (inHand && !(await isAsOpened(inHand))) {
            await inHand.page.context().close()
            inHand = null
          }
          inHand ??= await opened(await browser.newPage(), address)
          inHand.complaints.length = 0
          return inHand
        },
      })
      await inHand?.page.context().close()
    },
    { scope: 'worker' },
  ],
  leg: async ({ legHolder, address, expectedComplaints }, use) => {
    const { page, complaints } = await legHolder.take(address)
    await use(page)
    const unexpected = complaints.filter((line) => !expectedComplaints.some((pattern) => pattern.test(line)))
    expect(unexpected, 'errors on the console, uncaught exceptions, refused requests').toEqual([])
  },
})

async function opened(page: Page, address: string): Promise<LegInHand> {
  const complaints = listenForComplaints(page, address)
  hearFileChoosers(page)
  await page.goto(address)
  await openLeg(page, rightLeg)
  await frontOfKnee(page, 60_000)
  return { page, complaints, said: await whatItSays(page), pressed: await switchesPressed(page) }
}

async function isAsOpened({ page, said, pressed }: LegInHand): Promise<boolean> {
  try {
    await page.keyboard.press('Escape')
    for (let k = 0; k < 3 && (await page.getByRole('dialog').count()) > 0; k++) await page.keyboard.press('Escape')
    const notices = page.getByRole('button', { name: 'Dismiss' })
    for (let k = 0; k < 9 && (await notices.count()) > 0; k++) await notices.first().click({ timeout: patienceMs })
    await stage(page, 'Cuts').click({ timeout: patienceMs })
    await undoAll(page)
    for (const name of await switchesPressed(page))
      if (!pressed.includes(name))
        await switches(page).getByRole('button', { name, exact: true }).click({ timeout: patienceMs })
    for (const name of pressed)
      if (!(await switchesPressed(page)).includes(name))
        await switches(page).getByRole('button', { name, exact: true }).click({ timeout: patienceMs })
    await page
      .getByRole('group', { name: 'Cut with handles' })
      .getByText('Tibia', { exact: true })
      .click({ timeout: patienceMs })
    await frontOfKnee(page, patienceMs)
    await expect.poll(() => whatItSays(page), { timeout: patienceMs }).toBe(said)
    return true
  } catch {
    return false
  }
}

/** For one step of undoing; a busy machine takes its time, and opening another leg costs more. */
const patienceMs = 5000

const switches = (page: Page) => page.locator('.view-switches')
const switchesPressed = (page: Page): Promise<string[]> =>
  switches(page).locator('[aria-pressed="true"]').allInnerTexts()

/** Back to the step that opened the second bone. */
async function undoAll(page: Page): Promise<void> {
  const undo = page.locator('.top-steps').getByRole('button').first()
  for (let k = 0; k < 40; k++) {
    const label = (await undo.textContent()) ?? ''
    if (/^Undo open (tibia|femur)/.test(label)) return
    await undo.click({ timeout: patienceMs })
    await expect(undo).not.toHaveText(label, { timeout: patienceMs })
  }
}

async function frontOfKnee(page: Page, timeout: number): Promise<void> {
  const view = page.getByRole('toolbar', { name: 'View' })
  for (const name of ['Anterior', 'Knee']) await view.getByRole('button', { name, exact: true }).click({ timeout })
  await expect(page.locator('.view-tag[data-name="tibia depth"]')).toBeVisible({ timeout })
  // Numbers that come when the hand rests belong to what it says.
  await expect(page.getByRole('main')).toHaveAttribute('aria-busy', 'false', { timeout })
}

/** Every word, number and choice of controls, view, ledger and strip. */
const whatItSays = (page: Page): Promise<string> =>
  page.evaluate(() =>
    ['.controls', '.view', '.ledger', '.floor-strip']
      .flatMap((part) => [...document.querySelectorAll<HTMLElement>(part)])
      .map((part) =>
        [
          part.textContent,
          ...[...part.querySelectorAll('input, select, button')].map((field) =>
            field instanceof HTMLInputElement
              ? `${field.value} ${field.checked}`
              : field instanceof HTMLSelectElement
                ? field.value
                : field.getAttribute('aria-pressed'),
          ),
        ].join('\n'),
      )
      .join('\n'),
  )
