import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { fileURLToPath } from 'node:url'
import { caution } from '../casefile/program.ts'
import { withText } from '../report/png-text.ts'

const packageName = '@resvg/resvg-wasm'
const typeface = 'Inter'

/** A drawing of ours as PNG bytes, `enlargement` times its size, in the bundled typeface, with the caution in the file. */
export async function pngOfSvg(svg: string, enlargement = 2): Promise<Uint8Array> {
  painter ??= start()
  const { Resvg } = await painter
  const fontBuffers = ['inter-latin-400.ttf', 'inter-latin-600.ttf'].map(
    (name) => new Uint8Array(readFileSync(fileURLToPath(new URL(`../../assets/fonts/${name}`, import.meta.url)))),
  )
  const picture = new Resvg(svg, {
    fitTo: { mode: 'zoom', value: enlargement },
    font: { fontBuffers, defaultFontFamily: typeface, sansSerifFamily: typeface },
  })
  return withText(new Uint8Array(picture.render().asPng()), 'Comment', caution)
}

type Painter = typeof import('@resvg/resvg-wasm')

/** Started once per process, and only where a picture is asked for. */
let painter: Promise<Painter> | null = null

async function start(): Promise<Painter> {
  const find = createRequire(import.meta.url)
  const found = find(packageName) as Painter
  await found.initWasm(new Uint8Array(readFileSync(find.resolve(`${packageName}/index_bg.wasm`))))
  return found
}
