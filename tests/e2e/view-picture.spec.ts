import { readFileSync } from 'node:fs'
import type { Page } from 'playwright/test'
import { divergingColour } from '../../src/workbench/charts/colour-map.ts'
import { expect } from './harness.ts'
import { test } from './one-leg.ts'

interface Looked {
  readonly width: number
  readonly height: number
  /** How many of 255 the first pixel covers. */
  readonly cornerAlpha: number
  readonly corner: readonly number[]
  /** Share of pixels that show the ground. */
  readonly bareShare: number
  /** First and last colour of the legend, where it belongs. */
  readonly legend: readonly (readonly number[])[]
  /** Share of pixels written upon, in the corner of the head and in that of the scale bar. */
  readonly head: number
  readonly scaleBar: number
}

/** Reads a picture back: from a file's bytes, or from the clipboard. */
function look(page: Page, bytes: Buffer | null, times: number): Promise<Looked> {
  return page.evaluate(
    async ({ base64, n }) => {
      const blob = base64
        ? new Blob([Uint8Array.from(atob(base64), (c) => c.charCodeAt(0))], { type: 'image/png' })
        : await (await navigator.clipboard.read())[0]!.getType('image/png')
      const picture = await createImageBitmap(blob)
      const { width, height } = picture
      const pen = new OffscreenCanvas(width, height).getContext('2d')!
      pen.drawImage(picture, 0, 0)
      const { data } = pen.getImageData(0, 0, width, height)
      const at = (x: number, y: number) => [...data.subarray(4 * (y * width + x), 4 * (y * width + x) + 4)]
      const ground = at(0, 0)
      const isGround = (x: number, y: number) => at(x, y).every((v, k) => v === ground[k])
      const written = (x0: number, y0: number, x1: number, y1: number) => {
        let count = 0
        for (let y = y0; y < y1; y++) for (let x = x0; x < x1; x++) if (!isGround(x, y)) count++
        return count / ((x1 - x0) * (y1 - y0))
      }
      let bare = 0
      for (let k = 0; k < data.length; k += 4) if (ground.every((v, c) => v === data[k + c])) bare++
      const y = Math.round(43 * n)
      return {
        width,
        height,
        cornerAlpha: ground[3]!,
        corner: ground,
        bareShare: bare / (width * height),
        legend: [at(width - Math.round(232 * n), y), at(width - Math.round(26 * n), y)],
        head: written(Math.round(10 * n), Math.round(12 * n), Math.round(130 * n), Math.round(36 * n)),
        scaleBar: written(Math.round(8 * n), height - Math.round(110 * n), Math.round(170 * n), height - 2),
      }
    },
    { base64: bytes?.toString('base64') ?? null, n: times },
  )
}

const near = (colour: readonly number[], wanted: readonly number[]) =>
  wanted.every((value, k) => Math.abs(value - colour[k]!) <= 6)

test('a picture of the view has size, ground, labels, side, scale and legend as asked for, in the file and on the clipboard', async ({
  leg: page,
}) => {
  test.setTimeout(180_000)
  await page.getByRole('button', { name: 'Thickness map' }).click()
  await expect(page.locator('.view-tag[data-name="painted thickest"]')).toBeVisible({ timeout: 60_000 })
  await page.getByRole('button', { name: 'Fit', exact: true }).click()
  const box = (await page.locator('.scene canvas').boundingBox())!
  const dialog = page.getByRole('dialog', { name: 'Picture of the view' })
  const choose = async (...choices: readonly string[]) => {
    await page.keyboard.press('Control+Shift+E')
    for (const choice of choices) await dialog.getByText(choice, { exact: true }).click()
  }
  const save = async (times: number) => {
    const download = page.waitForEvent('download')
    await dialog.getByRole('button', { name: 'Save it…' }).click()
    const bytes = readFileSync(await (await download).path())
    expect(bytes.toString('latin1')).toContain('not a medical device')
    expect(bytes.toString('latin1'), 'no name of a file').not.toContain('femur_right')
    await expect(dialog).toBeHidden()
    return look(page, bytes, times)
  }
  // The middles of the first and the last of 48 steps.
  const ends = [divergingColour(-47 / 48), divergingColour(47 / 48)]

  await choose('1×', 'White')
  const white = await save(1)
  expect([white.width, white.height]).toEqual([Math.floor(box.width), Math.floor(box.height)])
  expect(white.corner).toEqual([255, 255, 255, 255])
  for (const k of [0, 1]) expect(near(white.legend[k]!, ends[k]!), `legend ${white.legend[k]}`).toBe(true)
  expect(white.head, 'the side is written').toBeGreaterThan(0.05)
  expect(white.scaleBar, 'the scale bar is there').toBeGreaterThan(0.003)

  await choose('4×', 'Transparent', 'Without')
  const clear = await save(4)
  expect(clear.width).toBe(Math.floor(4 * box.width))
  expect(clear.cornerAlpha).toBe(0)
  expect(clear.legend.map((pixel) => pixel[3])).toEqual([0, 0])
  expect([clear.head, clear.scaleBar], 'nothing is written').toEqual([0, 0])
  expect(clear.bareShare, 'the bones are there').toBeLessThan(0.98)
  expect(clear.bareShare, 'and what lies about them is clear').toBeGreaterThan(0.4)

  await page.context().grantPermissions(['clipboard-read', 'clipboard-write'])
  await choose('2×', 'Transparent', 'With')
  await dialog.getByRole('button', { name: 'Copy to the clipboard' }).click()
  await expect(dialog).toBeHidden()
  const copied = await look(page, null, 2)
  expect(copied.width).toBe(Math.floor(2 * box.width))
  expect(copied.cornerAlpha).toBe(0)
  for (const k of [0, 1]) expect(near(copied.legend[k]!, ends[k]!), `legend ${copied.legend[k]}`).toBe(true)

  // Without the map there is nothing for a legend to explain.
  await page.getByRole('button', { name: 'Thickness map' }).click()
  await choose('1×', 'Transparent', 'With')
  const plain = await save(1)
  expect(plain.legend.map((pixel) => pixel[3])).toEqual([0, 0])
  expect(plain.head).toBeGreaterThan(0.05)
})
