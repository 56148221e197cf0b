import type { Page } from 'playwright/test'
import { field, numberIn, openLeg, rightLeg, stage } from './bones.ts'
import { expect, test } from './harness.ts'

const frames = async (page: Page): Promise<number> =>
  Number(await page.locator('.scene.after canvas').getAttribute('data-frames'))
const command = (page: Page, name: string) => page.getByRole('button', { name, exact: true })

// One leg for all of it: opening one costs more than what is tried on it.
test('the face of a cut, before beside after, the camera’s own back, free turning, measuring, the view by keyboard', async ({
  window: page,
}) => {
  await openLeg(page, rightLeg)

  await test.step('the face of the active cut follows its depth and names the other cut when that is chosen', async () => {
    await command(page, 'Face').click()
    const face = page.getByRole('region', { name: 'Tibia, face of the cut' })
    await expect(face.getByRole('img', { name: /^Outline of the face, \d+ mm²/ })).toBeVisible()
    await expect(face.getByText('Covered by the tray')).toBeVisible()
    const area = async () => numberIn(await face.locator('.pair dd').first().textContent())
    const before = await area()
    await field(page, /^Depth, lateral plateau/).fill('14')
    await page.keyboard.press('Enter')
    await expect.poll(area).not.toBe(before)
    await page.getByRole('group', { name: 'Cut with handles' }).getByText('Distal', { exact: true }).click()
    await expect(page.getByRole('region', { name: 'Femur, distal, face of the cut' })).toBeVisible()
    await command(page, 'Face').click()
    await expect(page.getByRole('region', { name: /face of the cut/ })).toHaveCount(0)
  })

  await test.step('turning the bones as they were turns the plan beside them, and the camera goes back', async () => {
    await command(page, 'Before/after').click()
    const before = page.locator('.scene.before canvas')
    await expect(page.getByRole('img', { name: '3D view of the bones before the cuts' })).toBeVisible()
    await expect(command(page, 'Camera forward')).toBeDisabled()
    const drawn = await frames(page)
    const box = (await before.boundingBox())!
    await page.mouse.move(box.x + 60, box.y + 250)
    await page.mouse.down()
    await page.mouse.move(box.x + 120, box.y + 250, { steps: 3 })
    await page.mouse.up()
    await expect.poll(() => frames(page)).toBeGreaterThan(drawn)
    await command(page, 'Camera back').click()
    await expect(command(page, 'Camera forward')).toBeEnabled()
    await command(page, 'Before/after').click()
    await expect(before).toHaveCount(0)
  })

  await test.step('the view is turned, moved and brought nearer by keys, as a turntable and freely', async () => {
    const view = page.getByRole('application', { name: /^3D view/ })
    await view.focus()
    for (const key of ['ArrowLeft', 'Shift+ArrowUp', '+', 'r', 'ArrowUp', 'r']) {
      const drawn = await frames(page)
      await page.keyboard.press(key)
      if (key !== 'r') await expect.poll(() => frames(page), key).toBeGreaterThan(drawn)
    }
  })

  await test.step('a pinch on a trackpad and two fingers on glass bring nearer, one finger turns', async () => {
    const pane = (await page.locator('.scene.after canvas').boundingBox())!
    const [x, y] = [pane.x + 60, pane.y + pane.height - 120]
    const mmPerPixel = async () => {
      const bar = page.locator('.scale-bar')
      return numberIn(await bar.textContent()) / (await bar.locator('.scale-bar-line').boundingBox())!.width
    }
    const begun = await mmPerPixel()
    await page.mouse.move(x, y)
    await page.keyboard.down('Control')
    await page.mouse.wheel(0, -120)
    await page.keyboard.up('Control')
    await expect.poll(mmPerPixel).toBeLessThan(0.98 * begun)
    const pinched = await mmPerPixel()
    const client = await page.context().newCDPSession(page)
    await client.send('Emulation.setTouchEmulationEnabled', { enabled: true, maxTouchPoints: 2 })
    const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', ...apart: readonly number[]) =>
      client.send('Input.dispatchTouchEvent', { type, touchPoints: apart.map((dx, id) => ({ x: x + dx, y, id })) })
    await touch('touchStart', 0, 40)
    for (const dx of [50, 60, 80]) await touch('touchMove', 0, dx)
    await touch('touchEnd')
    // From 40 to 80 apart: the last of the moves has come when it is half.
    await expect.poll(mmPerPixel).toBeLessThan(0.52 * pinched)
    const near = await mmPerPixel()
    const drawn = await frames(page)
    await touch('touchStart', 0)
    for (const dx of [15, 30, 45]) await touch('touchMove', dx)
    await touch('touchEnd')
    await expect.poll(() => frames(page)).toBeGreaterThan(drawn)
    expect(await mmPerPixel(), 'a turn brings nothing nearer').toBeCloseTo(near, 6)
    await client.send('Emulation.setTouchEmulationEnabled', { enabled: false })
  })

  await test.step('a saved view is kept with the case, and gone to again with its stage', async () => {
    await command(page, 'Views').click()
    await page.getByRole('textbox', { name: 'Name of this view' }).fill('Box from the side')
    await page.keyboard.press('Enter')
    await stage(page, 'Stance').click()
    await page.keyboard.press('Control+z')
    await page.keyboard.press('v')
    await page.getByRole('button', { name: 'Box from the side, cuts' }).click()
    await expect(page.getByRole('region', { name: 'Recipe', exact: true })).toBeVisible()
    await expect(page.getByRole('dialog')).toHaveCount(0)
  })

  await test.step('three clicks give an angle, one the distance from the plane of the cut', async () => {
    await stage(page, 'Landmarks').click()
    await command(page, 'Knee').click()
    await command(page, 'Measure').click()
    const view = (await page.locator('.scene canvas').boundingBox())!
    const [x, y] = [view.x + view.width / 2, view.y + view.height / 2]
    await page.getByRole('group', { name: 'Measure' }).getByText('Angle', { exact: true }).click()
    for (const [dx, dy] of [
      [-30, -50],
      [0, -70],
      [30, -50],
    ] as const) {
      await page.mouse.click(x + dx, y + dy)
      await page.waitForTimeout(150)
    }
    await expect(page.locator('.view-tag[data-name="angle"]')).toHaveText(/^\d+\.\d°$/)
    await page.getByText('To the cut', { exact: true }).click()
    await page.mouse.click(x, y + 60)
    await expect(page.locator('.view-tag[data-name="point to plane"]')).toHaveText(/^[+−]?\d+\.\d mm$/)
  })
})
