import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

export default defineConfig({
  resolve: {
    // The real package would start to download its binary when imported.
    alias: { electron: fileURLToPath(new URL('./tests/electron/stub.ts', import.meta.url)) },
  },
  test: {
    setupFiles: ['tests/seed.ts'],
    testTimeout: 120_000,
    hookTimeout: 120_000,
    // One fewer than the cores is the default, which on two cores leaves one idle.
    maxWorkers: '100%',
    // Files that share a worker need not load the program again each; the desktop's main program starts when it is loaded,
    // so that its tests each need it afresh.
    projects: [
      {
        extends: true,
        test: {
          name: 'desktop',
          include: ['tests/electron/**/*.test.ts'],
        },
      },
      {
        extends: true,
        test: {
          name: 'program',
          include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
          exclude: ['tests/electron/**', 'tests/e2e/**', 'node_modules/**', 'dist/**'],
          isolate: false,
        },
      },
    ],
  },
})
