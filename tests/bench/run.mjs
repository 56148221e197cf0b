// npm run bench [-- PART…] [-- --sizes 20000,200000,1000000,2000000] [--seconds 1] [--only NAME]
// Parts: geometry landmarks intervals live contact window; all of them when none is named. The options are those of `geometry`.
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'
import { ensureBuild } from '../../src/cli/fresh-build.mjs'

const root = fileURLToPath(new URL('../../', import.meta.url))
const parts = {
  geometry: { title: 'Geometry beside other libraries', needs: [] },
  landmarks: { title: 'From files to landmarks --json', needs: ['cli'] },
  intervals: { title: 'Intervals of angles and sites, 200,000 triangles per bone', needs: [] },
  live: { title: 'Live set after an edit, 200,000 triangles per bone', needs: [] },
  contact: { title: 'Bearing contact', needs: [] },
  window: { title: 'The window with two bones of 1,000,000 triangles', needs: ['shell', 'window', 'demo'] },
}

const args = process.argv.slice(2)
const firstOption = args.findIndex((arg) => arg.startsWith('--'))
const named = firstOption < 0 ? args : args.slice(0, firstOption)
const options = firstOption < 0 ? [] : args.slice(firstOption)
const unknown = named.find((name) => !(name in parts))
if (unknown !== undefined) {
  console.error(`There is no bench “${unknown}”; there are ${Object.keys(parts).join(', ')}.`)
  process.exit(2)
}

let failed = false
for (const name of named.length > 0 ? named : Object.keys(parts)) {
  const { title, needs } = parts[name]
  ensureBuild(root, needs)
  await bundle(name)
  if (name === 'window') await pageWithoutRenderer()
  console.log(`\n${title}`)
  const begun = performance.now()
  const node = ['--expose-gc', '--max-old-space-size=6000', `dist/bench/${name}.js`, ...options]
  const { status } = spawnSync(process.execPath, node, { cwd: root, stdio: 'inherit' })
  failed ||= status !== 0
  console.log(`  (${((performance.now() - begun) / 1000).toFixed(0)} s)`)
}
process.exit(failed ? 1 : 0)

/** The window with the library's renderer stubbed: asked to draw a scene, it says where things are (the pointer needs that) and draws nothing. */
async function pageWithoutRenderer() {
  const drawing = 'this.render = function ( scene, camera ) {'
  await build({
    root: `${root}src/workbench`,
    configFile: `${root}vite.config.ts`,
    logLevel: 'warn',
    build: { outDir: `${root}dist/bench/page`, emptyOutDir: true, reportCompressedSize: false },
    plugins: [
      {
        name: 'no-renderer',
        transform(code, id) {
          if (!id.includes('three/build/three.module')) return null
          if (!code.includes(drawing)) throw new Error('The renderer is not where it was: the bench cannot stub it.')
          return {
            code: code.replace(drawing, `${drawing} scene.updateMatrixWorld(); camera.updateMatrixWorld(); return;`),
            map: null,
          }
        },
      },
    ],
  })
}

async function bundle(name) {
  await build({
    root,
    configFile: false,
    logLevel: 'warn',
    publicDir: false,
    // The solid library finds its WebAssembly beside its own file, and the browser driver its browser.
    ssr: { noExternal: true, external: ['manifold-3d', 'playwright'], target: 'node' },
    build: {
      ssr: `tests/bench/${name}.ts`,
      outDir: 'dist/bench',
      emptyOutDir: false,
      target: 'node20',
      minify: false,
      reportCompressedSize: false,
      chunkSizeWarningLimit: 8000,
      rolldownOptions: { output: { format: 'es', entryFileNames: `${name}.js`, codeSplitting: false } },
    },
  })
}
