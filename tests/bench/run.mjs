// npm run bench [-- --sizes 20000,200000,1000000,2000000] [--seconds 8] [--only NAME]
import { spawnSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'

const root = fileURLToPath(new URL('../../', import.meta.url))

await build({
  root,
  configFile: false,
  logLevel: 'warn',
  publicDir: false,
  // The solid library finds its WebAssembly beside its own file, so it stays outside the bundle.
  ssr: { noExternal: true, external: ['manifold-3d'], target: 'node' },
  build: {
    ssr: 'tests/bench/main.ts',
    outDir: 'dist/bench',
    target: 'node20',
    minify: false,
    reportCompressedSize: false,
    chunkSizeWarningLimit: 8000,
    rolldownOptions: { output: { format: 'es', entryFileNames: 'main.js', codeSplitting: false } },
  },
})

const { status } = spawnSync(
  process.execPath,
  ['--expose-gc', '--max-old-space-size=6000', 'dist/bench/main.js', ...process.argv.slice(2)],
  { cwd: root, stdio: 'inherit' },
)
process.exit(status ?? 1)
