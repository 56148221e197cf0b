import { stage } from './bones.ts'
import { expect, test } from './harness.ts'

test('any command gets other keys, a clash is told first, and sheet, palette and the next start know them', async ({
  window: page,
}) => {
  await page.keyboard.press('?')
  await page.getByRole('button', { name: 'Change keys…' }).press('Enter')
  const dialog = page.getByRole('dialog', { name: 'Change keys' })
  const keysOf = (command: string) => dialog.getByRole('button', { name: `Change the keys of ${command}` })

  await dialog.getByRole('searchbox').fill('go to')
  await expect(dialog.getByRole('button', { name: /^Change the keys of/ })).toHaveCount(6)
  await dialog.getByRole('searchbox').fill('')
  // Keys nobody has are taken at once; Escape and keys that other habits need are not.
  await keysOf('Go to Stance').press('Enter')
  await page.keyboard.press('Control+c')
  await expect(dialog.getByRole('alert')).toContainText('copy and paste')
  await page.keyboard.press('Escape')
  await expect(dialog).toBeVisible()
  await expect(keysOf('Go to Stance')).toHaveText('Alt4')
  await keysOf('Go to Stance').press('Enter')
  await page.keyboard.press('Control+Shift+L')
  await expect(keysOf('Go to Stance')).toHaveText('CtrlShiftL')

  // Keys of another command are given over only when asked.
  await keysOf('Go to Cuts').press('Enter')
  await page.keyboard.press('Control+k')
  await expect(dialog.getByRole('alert')).toContainText('Ctrl K is taken by “Find a command”.')
  await page.getByRole('button', { name: 'Leave it there' }).press('Enter')
  await expect(keysOf('Go to Cuts')).toHaveText('Alt3')
  await keysOf('Go to Cuts').press('Enter')
  await page.keyboard.press('Control+k')
  await page.getByRole('button', { name: 'Take it from there' }).press('Enter')
  await expect(keysOf('Go to Cuts')).toHaveText('CtrlK')
  await expect(keysOf('Find a command')).toHaveText('none')
  await keysOf('Find a command').press('Enter')
  await page.keyboard.press('Control+Shift+K')
  await page.keyboard.press('Escape')
  await expect(dialog).toBeHidden()

  await page.reload()
  await expect(page.getByRole('button', { name: 'Find a command' })).toContainText('Ctrl Shift K')
  await page.keyboard.press('Control+Shift+L')
  await expect(stage(page, 'Stance')).toHaveAttribute('aria-current', 'step')
  await page.keyboard.press('Control+k')
  await expect(stage(page, 'Cuts')).toHaveAttribute('aria-current', 'step')
  await page.keyboard.press('Alt+4')
  await expect(stage(page, 'Cuts')).toHaveAttribute('aria-current', 'step')
  await page.keyboard.press('?')
  await expect(page.getByRole('dialog', { name: 'Keys' })).toContainText('Go to StanceCtrlShiftL')
  await page.keyboard.press('Escape')

  await page.keyboard.press('Control+Shift+K')
  await page.getByRole('combobox', { name: 'Find a command' }).fill('change keys')
  await page.keyboard.press('Enter')
  await dialog.getByRole('button', { name: 'All keys as usual' }).press('Enter')
  await expect(keysOf('Find a command')).toHaveText('CtrlK')
  await page.screenshot({ path: 'test-results/keys.png' })
  await page.keyboard.press('Escape')
  await page.keyboard.press('Alt+4')
  await expect(stage(page, 'Stance')).toHaveAttribute('aria-current', 'step')
})
