// node tests/bench/contact.mjs: time of bearing contact solves, kept in results/contact.json
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'

const root = fileURLToPath(new URL('../../', import.meta.url))

await build({
  root,
  configFile: false,
  logLevel: 'warn',
  publicDir: false,
  ssr: { noExternal: true, target: 'node' },
  build: {
    ssr: 'tests/bench/contact.ts',
    outDir: 'dist/bench',
    target: 'node20',
    minify: false,
    reportCompressedSize: false,
    emptyOutDir: false,
    rolldownOptions: { output: { format: 'es', entryFileNames: 'contact.js', codeSplitting: false } },
  },
})

const { status } = spawnSync(process.execPath, ['dist/bench/contact.js'], { cwd: root, stdio: 'inherit' })
process.exit(status ?? 1)
