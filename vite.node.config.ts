import { basename, dirname } from 'node:path'
import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vite'

interface NodeBuild {
  readonly entry: string
  /** Below dist/. */
  readonly file: string
  readonly format: 'es' | 'cjs'
}

/** What runs in Node: each entry is bundled into one file (`vite build -c vite.node.config.ts --mode NAME`). */
const builds: Readonly<Record<string, NodeBuild>> = {
  cli: { entry: 'src/cli/main.ts', file: 'cli/main.js', format: 'es' },
  generate: { entry: 'demo-models/generate.ts', file: 'demo-models/generate.js', format: 'es' },
  main: { entry: 'electron/main.ts', file: 'electron/main.js', format: 'es' },
  serve: { entry: 'electron/serve.ts', file: 'electron/serve.js', format: 'es' },
  preload: { entry: 'electron/preload.ts', file: 'electron/preload.cjs', format: 'cjs' },
}

export default defineConfig(({ mode }) => {
  const build = builds[mode]
  if (!build) throw new Error(`--mode must be one of ${Object.keys(builds).join(', ')}`)
  return {
    root: fileURLToPath(new URL('.', import.meta.url)),
    publicDir: false,
    ssr: { noExternal: true, target: 'node' },
    build: {
      ssr: build.entry,
      outDir: `dist/${dirname(build.file)}`,
      emptyOutDir: false,
      target: 'node20',
      minify: false,
      reportCompressedSize: false,
      chunkSizeWarningLimit: 8000,
      rolldownOptions: {
        external: ['electron'],
        output: { format: build.format, entryFileNames: basename(build.file), codeSplitting: false },
      },
    },
  }
})
