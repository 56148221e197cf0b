import type { Result } from '../failure.ts'
import { writeOne } from './files.ts'
import { pngOfSvg } from './svg-to-png.ts'

/** Writes a drawing as SVG, or as PNG where the name ends in .png. */
export async function writeChart(path: string, svg: Result<string>, force: boolean): Promise<Result<string>> {
  if (!svg.ok) return svg
  if (!/\.png$/i.test(path)) return writeOne(path, svg.value, force)
  const png = await pngOfSvg(svg.value)
  return png.ok ? writeOne(path, png.value, force) : png
}
