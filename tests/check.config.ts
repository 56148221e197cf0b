import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

/** Long seeded runs, kept out of `npm test`. */
export default defineConfig({
  root: fileURLToPath(new URL('../', import.meta.url)),
  test: {
    include: ['tests/**/*.check.ts'],
    testTimeout: 3_600_000,
    hookTimeout: 3_600_000,
    fileParallelism: false,
    disableConsoleIntercept: true,
  },
})
