import { readFileSync } from 'node:fs'
import { sharedPath } from '../shared.ts'
import { planned, stage } from './bones.ts'
import { expect, test } from './harness.ts'

const bones: Readonly<Record<string, string>> = {
  ['c'.repeat(32)]: sharedPath('bones/bp3d/tibia_right.stl'),
  ['e'.repeat(32)]: sharedPath('bones/bp3d/femur_right.stl'),
}

test('in the desktop window a missing recent file is located, menu, arriving files, printing, PDF and closing go through the bridge', async ({
  page,
  address,
}) => {
  await page.addInitScript(() => {
    const asked: unknown[][] = []
    const listeners = new Map<string, (event: unknown) => void>()
    const answers: Record<string, unknown> = {
      recentFiles: [
        { token: 'a'.repeat(32), name: 'here.floorline', present: true },
        { token: 'b'.repeat(32), name: 'moved.floorline', present: false },
      ],
      chooseFiles: { ok: true, value: [{ token: 'c'.repeat(32), name: 'found.stl', sizeBytes: 1 }] },
      recoveries: [],
      save: { ok: true, value: { token: 'd'.repeat(32), name: 'case.floorline', sizeBytes: 1 } },
      printPaper: { ok: false, failure: { code: 'file/unreadable', message: 'Nothing was printed.' } },
      printPdf: { ok: true, value: null },
      writeRecovery: { ok: true, value: undefined },
    }
    const bridge = new Proxy(
      {},
      {
        get: (_target, name: string) =>
          name === 'on'
            ? (event: string, listener: (event: unknown) => void) => {
                listeners.set(event, listener)
                return () => listeners.delete(event)
              }
            : async (...input: unknown[]) => {
                asked.push([name, ...input])
                return answers[name]
              },
      },
    )
    Object.assign(window, {
      floorline: bridge,
      standIn: { asked, tell: (n: string, e: unknown) => listeners.get(n)!(e) },
    })
  })
  await page.route('**/file/*', (route) =>
    route.fulfill({ body: readFileSync(bones[route.request().url().split('/').at(-1)!]!) }),
  )
  await page.goto(address)
  const asked = (name: string): Promise<unknown[][]> =>
    page.evaluate(
      (n) => (Reflect.get(globalThis, 'standIn').asked as unknown[][]).filter(([first]) => first === n),
      name,
    )
  const tell = (name: string, event: unknown) =>
    page.evaluate(([n, e]) => Reflect.get(globalThis, 'standIn').tell(n, e), [name, event] as const)

  const recent = page.getByRole('region', { name: 'Recent files' })
  await expect(recent.getByRole('button', { name: /^moved\.floorline/ })).toBeDisabled()
  await expect(recent.getByRole('button', { name: 'Locate here.floorline' })).toHaveCount(0)
  await recent.getByRole('button', { name: 'Locate moved.floorline' }).press('Enter')
  await expect(page.getByRole('button', { name: 'Undo open tibia' })).toBeVisible({ timeout: 60_000 })
  expect(await asked('chooseFiles')).toEqual([['chooseFiles', 'any']])
  expect((await asked('setUnsaved')).at(-1)![1]).toBe(true)

  // As by a double click on a file, while the window is open.
  await tell('files:arrived', {
    files: [{ token: 'e'.repeat(32), name: 'femur.stl', sizeBytes: 1 }],
    refused: ['tool.exe'],
  })
  await expect(page.getByRole('alert').filter({ hasText: 'tool.exe' })).toBeVisible()
  await planned(page)

  await tell('menu:chosen', { id: 'stage.report' })
  await expect(stage(page, 'Report')).toHaveAttribute('aria-current', 'step')
  await page.getByRole('button', { name: 'Save the report as PDF…' }).press('Enter')
  await expect.poll(() => asked('printPdf'), { timeout: 90_000 }).toEqual([['printPdf', 'rehearsal-expectation.pdf']])
  await tell('menu:chosen', { id: 'file.print' })
  await expect(page.getByRole('alert').filter({ hasText: 'Nothing was printed.' })).toBeVisible()
  expect(await asked('printPaper')).toHaveLength(1)

  expect(await asked('close')).toEqual([])
  await tell('window:save-and-close', null)
  await expect.poll(() => asked('close'), { timeout: 30_000 }).toEqual([['close']])
  expect((await asked('save')).map(([, request]) => (request as { kind: string }).kind)).toEqual(['case'])
  expect((await asked('setUnsaved')).at(-1)![1]).toBe(false)
})
