import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

export default defineConfig({
  resolve: {
    // The real package would start to download its binary when imported.
    alias: { electron: fileURLToPath(new URL('./tests/electron/stub.ts', import.meta.url)) },
  },
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    exclude: ['tests/e2e/**', 'node_modules/**', 'dist/**'],
    setupFiles: ['tests/seed.ts'],
    testTimeout: 120_000,
    hookTimeout: 120_000,
    // One fewer than the cores is the default, which on two cores leaves one idle.
    maxWorkers: '100%',
    // No test replaces a module; files that share a worker need not load the program again each.
    isolate: false,
  },
})
