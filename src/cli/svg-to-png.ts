import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { fileURLToPath } from 'node:url'
import { caution } from '../casefile/program.ts'
import { fail, ok, type Result } from '../failure.ts'
import { withText } from '../report/png-text.ts'

/** The part of `@resvg/resvg-wasm` that is used. */
interface Renderer {
  readonly initWasm: (bytes: Uint8Array) => Promise<void>
  readonly Resvg: new (
    svg: string,
    options: {
      readonly fitTo: { readonly mode: 'zoom'; readonly value: number }
      readonly font: {
        readonly fontBuffers: readonly Uint8Array[]
        readonly defaultFontFamily: string
        readonly sansSerifFamily: string
      }
    },
  ) => { readonly render: () => { readonly asPng: () => Uint8Array } }
}

const packageName = '@resvg/resvg-wasm'
const typeface = 'Inter'

/**
 * A drawing as PNG bytes, `enlargement` times its size, in the bundled typeface, with the caution in the file. The package
 * that paints is optional: where it is not installed the failure says so.
 */
export async function pngOfSvg(svg: string, enlargement = 2): Promise<Result<Uint8Array>> {
  const renderer = await started()
  if (!renderer)
    return fail('format/unsupported', 'PNG pictures need a package that is not installed.', {
      hint: 'Install the packages again with npm ci, or choose a name that ends in .svg.',
      place: packageName,
    })
  const fontBuffers = ['inter-latin-400.ttf', 'inter-latin-600.ttf'].map(
    (name) => new Uint8Array(readFileSync(fileURLToPath(new URL(`../../assets/fonts/${name}`, import.meta.url)))),
  )
  const picture = new renderer.Resvg(svg, {
    fitTo: { mode: 'zoom', value: enlargement },
    font: { fontBuffers, defaultFontFamily: typeface, sansSerifFamily: typeface },
  })
  return ok(withText(new Uint8Array(picture.render().asPng()), 'Comment', caution))
}

let starting: Promise<Renderer | null> | null = null

/** The painter is started once per process; null where it is not installed. */
function started(): Promise<Renderer | null> {
  starting ??= start()
  return starting
}

async function start(): Promise<Renderer | null> {
  const find = createRequire(import.meta.url)
  try {
    const renderer = find(packageName) as Renderer
    await renderer.initWasm(new Uint8Array(readFileSync(find.resolve(`${packageName}/index_bg.wasm`))))
    return renderer
  } catch {
    return null
  }
}
