const shared = ['package.json', 'package-lock.json']
const nodeRooms = { folders: ['src'], without: ['src/workbench', 'src/host', 'src/engine'] }

/**
 * What is built, from which files, into what. A step is either one Vite build (`vite`) or a Node script (`script`);
 * `product` is the file or folder below dist/ that must exist. Order matters: `demo` runs what `generate` built.
 */
export const buildParts = {
  cli: {
    folders: nodeRooms.folders,
    without: nodeRooms.without,
    files: [...shared, 'vite.node.config.ts'],
    steps: [{ vite: 'cli', product: 'cli/main.js' }],
  },
  generate: {
    folders: ['demo-models', 'src/geometry', 'src/formats'],
    without: [],
    files: [...shared, 'vite.node.config.ts', 'src/failure.ts'],
    steps: [{ vite: 'generate', product: 'demo-models/generate.js' }],
  },
  demo: {
    folders: [],
    without: [],
    // The bundle holds only what the legs are made with: another change in geometry leaves the legs as they are.
    files: ['dist/demo-models/generate.js'],
    needs: ['generate'],
    steps: [{ script: 'demo-models/generate.js', product: 'demo' }],
  },
  shell: {
    folders: ['electron', 'src'],
    without: [],
    files: [...shared, 'vite.node.config.ts'],
    steps: [
      { vite: 'main', product: 'electron/main.js' },
      { vite: 'preload', product: 'electron/preload.cjs' },
      { vite: 'serve', product: 'electron/serve.js' },
    ],
  },
  window: {
    folders: ['src', 'assets'],
    without: ['src/cli'],
    files: [...shared, 'vite.config.ts'],
    steps: [{ vite: null, product: 'window' }],
  },
}
