import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { defineConfig } from 'vite'

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url))

/** The window. The nonce's placeholder is replaced at every load by whoever serves the page (electron/answer.ts). */
export default defineConfig({
  root: here('./src/workbench'),
  base: '/',
  publicDir: false,
  plugins: [react()],
  html: { cspNonce: 'FLOORLINE-NONCE' },
  worker: { format: 'es' },
  build: {
    outDir: here('./dist/window'),
    emptyOutDir: true,
    target: 'es2023',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 4000,
    reportCompressedSize: false,
  },
})
