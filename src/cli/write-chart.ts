import type { Result } from '../failure.ts'
import { writeOne } from './files.ts'
import { pngOfSvg } from './svg-to-png.ts'

/** Writes a drawing as SVG, or as PNG where the name ends in .png. */
export async function writeChart(path: string, svg: Result<string>, force: boolean): Promise<Result<string>> {
  if (!svg.ok) return svg
  return writeOne(path, /\.png$/i.test(path) ? await pngOfSvg(svg.value) : svg.value, force)
}
