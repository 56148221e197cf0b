import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { writeCases } from './write-cases.ts'

// Bundled to dist/demo-models/generate.js; without an argument the cases go to dist/demo.
writeCases(process.argv[2] ?? join(dirname(fileURLToPath(import.meta.url)), '..', 'demo'))
