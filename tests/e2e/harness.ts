import { fileURLToPath } from 'node:url'
import { test as base, expect, type Page } from 'playwright/test'
import { startLoopback } from '../../electron/loopback.ts'

const folder = (path: string) => fileURLToPath(new URL(`../../dist/${path}`, import.meta.url))

interface WorkerFixtures {
  /** Where the built window is served, with the desktop program's own headers. */
  readonly address: string
}

interface TestFixtures {
  /** Complaints a test expects, e.g. a deliberately broken file. Empty unless a test pushes to it. */
  readonly expectedComplaints: RegExp[]
  /** The opened window. Any error on the console, uncaught exception or refused request fails the test. */
  readonly window: Page
}

export const test = base.extend<TestFixtures, WorkerFixtures>({
  address: [
    // biome-ignore lint/correctness/noEmptyPattern: Playwright reads the fixture's needs from the pattern
    async ({}, use) => {
      const server = await startLoopback({ windowFolder: folder('window'), demoFolder: folder('demo') })
      await use(server.address)
      await server.close()
    },
    { scope: 'worker' },
  ],
  // biome-ignore lint/correctness/noEmptyPattern: Playwright reads the fixture's needs from the pattern
  expectedComplaints: async ({}, use) => use([]),
  window: async ({ page, address, expectedComplaints }, use) => {
    const complaints = listenForComplaints(page, address)
    hearFileChoosers(page)
    await page.goto(address)
    // The page has loaded before the window is drawn in it; a key pressed in between is heard by nobody.
    await expect(page.getByRole('navigation', { name: 'Stages' })).toBeVisible()
    await use(page)
    const unexpected = complaints.filter((line) => !expectedComplaints.some((pattern) => pattern.test(line)))
    expect(unexpected, 'errors on the console, uncaught exceptions, refused requests').toEqual([])
  },
})

export { expect }

/**
 * With a listener from the start the browser hands over every dialog that chooses files. Without one each wait first has to
 * ask the browser to do so, and a key pressed meanwhile opens a dialog that nobody hears.
 */
export function hearFileChoosers(page: Page): void {
  page.on('filechooser', () => {})
}

/** Collects what must never happen in the window: console errors, exceptions, failed or outside requests. */
export function listenForComplaints(page: Page, address: string): string[] {
  const complaints: string[] = []
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(`console: ${message.text()}`)
  })
  page.on('pageerror', (error) => complaints.push(`exception: ${error.message}`))
  page.on('crash', () => complaints.push('the page crashed'))
  page.on('request', (request) => {
    const url = request.url()
    if (!url.startsWith(address) && !/^(blob|data):/.test(url)) complaints.push(`outside request: ${url}`)
  })
  page.on('response', (response) => {
    if (response.status() >= 400) complaints.push(`${response.status()}: ${response.url()}`)
  })
  return complaints
}
