import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Page } from 'playwright/test'
import { openThroughDialog, planned, rightLeg, stage } from './bones.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const stages = ['Bones', 'Landmarks', 'Cuts', 'Stance', 'Loading', 'Report']

interface Finding {
  readonly id: string
  readonly impact: string | null
  readonly nodes: readonly { readonly target: readonly string[]; readonly failureSummary?: string }[]
}

/** What the general-purpose accessibility checker finds serious or critical on the page as it stands. */
async function serious(page: Page): Promise<string[]> {
  const found = await page.evaluate(async () => {
    const { axe } = window as unknown as { axe: { run(): Promise<{ violations: unknown[] }> } }
    return (await axe.run()).violations
  })
  return (found as Finding[])
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id}: ${nodes.map((n) => `${n.target.join(' ')} ${n.failureSummary ?? ''}`).join(' | ')}`)
}

for (const theme of ['light', 'dark', 'contrast'] as const)
  test(`no stage has a serious accessibility problem in the ${theme} theme, empty or with a plan`, async ({
    window: page,
    leg,
  }) => {
    await wear(page, theme)
    expect(await serious(page), 'start page').toEqual([])
    await wear(leg, theme)
    for (const name of stages) {
      await stage(leg, name).click()
      expect(await serious(leg), name).toEqual([])
    }
    await leg.keyboard.press('?')
    expect(await serious(leg), 'keys').toEqual([])
    await leg.emulateMedia({ colorScheme: 'light', contrast: 'no-preference' })
  })

/** Both the theme and the checker, which is evaluated, not added as a script element: the page's own policy forbids that. */
async function wear(page: Page, theme: 'light' | 'dark' | 'contrast'): Promise<void> {
  await page.emulateMedia({
    colorScheme: theme === 'dark' ? 'dark' : 'light',
    contrast: theme === 'contrast' ? 'more' : 'no-preference',
    reducedMotion: 'reduce',
  })
  await expect(page.locator('html')).toHaveAttribute('data-theme', theme)
  await page.evaluate(axeSource)
}

test('neither the dialogs nor a lesson while it plays or is recorded has a serious accessibility problem', async ({
  window: page,
}) => {
  await page.evaluate(axeSource)
  await openThroughDialog(page, rightLeg)
  await planned(page)
  const command = async (words: string) => {
    await page.keyboard.press('Control+k')
    await page.getByRole('combobox', { name: 'Find a command' }).fill(words)
    await page.keyboard.press('Enter')
  }
  for (const [words, name] of [
    ['all lessons', 'Lessons'],
    ['picture of the view', 'Picture of the view'],
    ['help for', 'Help'],
  ] as const) {
    await command(words)
    await expect(page.getByRole('dialog', { name, exact: true })).toBeVisible()
    expect(await serious(page), name).toEqual([])
    await page.keyboard.press('Escape')
  }
  await command('why a tilted')
  await expect(page.getByRole('region', { name: /^Lesson:/ })).toBeVisible()
  expect(await serious(page), 'playing').toEqual([])
  await page.keyboard.press('Escape')
  await command('record a lesson')
  await page.getByRole('button', { name: 'Record this as a step' }).click()
  await expect(page.getByRole('dialog', { name: 'Words of the step' })).toBeVisible()
  expect(await serious(page), 'recording').toEqual([])
})
