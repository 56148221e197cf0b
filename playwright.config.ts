import { defineConfig } from 'playwright/test'
import { findChromium } from './src/cli/find-chromium.mjs'

const executablePath = findChromium()

/** Browser tests on the system's Chromium with software rendering; the flags are fixed so that pictures compare. */
export default defineConfig({
  testDir: './tests/e2e',
  testMatch: process.env['FLOORLINE_PICTURES'] ? '**/*.shots.ts' : '**/*.spec.ts',
  outputDir: './test-results',
  globalSetup: './tests/e2e/build.mjs',
  workers: 2,
  fullyParallel: false,
  retries: 0,
  timeout: 120_000,
  expect: { timeout: 20_000 },
  reporter: process.env['PLAYWRIGHT_JSON_OUTPUT_FILE'] ? [['list'], ['json']] : [['list']],
  use: {
    viewport: { width: 1280, height: 800 },
    deviceScaleFactor: 1,
    locale: 'en-GB',
    colorScheme: 'light',
    reducedMotion: 'reduce',
    screenshot: 'only-on-failure',
    trace: 'off',
    launchOptions: {
      ...(executablePath === null ? {} : { executablePath }),
      args: [
        '--no-sandbox',
        '--use-angle=swiftshader',
        '--enable-unsafe-swiftshader',
        '--ignore-gpu-blocklist',
        // Panels are painted by the processor itself; through the software graphics card it takes half as long again.
        '--disable-gpu-rasterization',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-domain-reliability',
        '--disable-sync',
        '--no-first-run',
        '--no-default-browser-check',
        '--no-pings',
        '--font-render-hinting=none',
        '--force-color-profile=srgb',
        '--hide-scrollbars',
      ],
    },
  },
})
