import { expect } from './harness.ts'
import { test } from './one-leg.ts'

test('where the system forces its colours, what is pressed can be read, and pieces and handles are drawn in them', async ({
  leg: page,
}) => {
  await page.emulateMedia({ forcedColors: 'active' })
  try {
    const pressed = page.locator('.view-switches').getByRole('button', { name: 'Lift pieces' })
    await expect(pressed).toHaveAttribute('aria-pressed', 'true')
    const [ink, ground] = await pressed.evaluate((button) => {
      const { color, backgroundColor } = getComputedStyle(button)
      return [color, backgroundColor]
    })
    expect(ink).not.toBe(ground)
    const swatch = page.locator('.swatch.kerf').first()
    expect(await swatch.evaluate((element) => getComputedStyle(element).backgroundImage)).toContain('gradient')
    // The system's highlight is dark blue here; a colour that the renderer did not know would be white.
    const dark = async () => {
      const png = (await page.locator('.scene canvas').screenshot()).toString('base64')
      return page.evaluate(async (data) => {
        const picture = await createImageBitmap(new Blob([Uint8Array.from(atob(data), (c) => c.charCodeAt(0))]))
        const pen = new OffscreenCanvas(picture.width, picture.height).getContext('2d')!
        pen.drawImage(picture, 0, 0)
        const { data: pixels } = pen.getImageData(0, 0, picture.width, picture.height)
        let count = 0
        for (let k = 0; k < pixels.length; k += 4)
          if (pixels[k + 2]! < 130 && pixels[k + 2]! > 1.4 * pixels[k]!) count++
        return count / (pixels.length / 4)
      }, png)
    }
    await expect.poll(dark, { timeout: 10_000 }).toBeGreaterThan(0.01)
  } finally {
    await page.emulateMedia({ forcedColors: 'none' })
  }
})
