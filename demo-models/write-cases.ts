import { createHash } from 'node:crypto'
import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { writePly } from '../src/formats/write-ply.ts'
import type { Mesh } from '../src/geometry/mesh.ts'
import { type DemoCase, demoCases } from './cases.ts'
import { makeLeg } from './leg.ts'
import { picture } from './picture.ts'

/**
 * Writes every demo case into a folder: per case `femur.ply`, `tibia.ply`, `truth.json`, `case.json`, `picture.png` (the
 * knee from in front), and beside them `index.json` (id, title, sentence). Existing files are overwritten.
 */
export function writeCases(folder: string, options: { readonly edgeMm?: number } = {}): void {
  for (const demo of demoCases) writeCase(join(folder, demo.id), demo, options)
  const index = demoCases.map(({ id, title, sentence }) => ({ id, title, sentence }))
  writeFileSync(join(folder, 'index.json'), json(index))
}

function writeCase(into: string, demo: DemoCase, options: { readonly edgeMm?: number }): void {
  mkdirSync(into, { recursive: true })
  const leg = makeLeg(demo.leg, options)
  const comment = 'Floorline synthetic bone: rehearsal, teaching and research only, not a medical device'
  const write = (name: string, mesh: Mesh) => {
    const bytes = writePly(mesh, { precision: 'float', comments: [comment] })
    writeFileSync(join(into, name), bytes)
    return { sha256: createHash('sha256').update(bytes).digest('hex'), name, unitFactor: 1, repairs: [] }
  }
  const meshes = { femur: write('femur.ply', leg.femur), tibia: write('tibia.ply', leg.tibia) }
  writeFileSync(join(into, 'truth.json'), json({ parameters: leg.parameters, truth: leg.truth }))
  const knee = { frame: leg.truth.femur.frame, widthMm: 150, heightMm: 180, pxPerMm: 3 }
  writeFileSync(join(into, 'picture.png'), picture([leg.femur, leg.tibia], knee))
  const document = {
    version: 2,
    name: demo.title,
    side: leg.parameters.side,
    frame: 'lps',
    meshes,
    recipe: demo.recipe,
    wear: demo.wear,
    notes: `${demo.sentence} ${demo.notes}`,
  }
  writeFileSync(join(into, 'case.json'), json(document))
}

function json(value: unknown): string {
  return `${JSON.stringify(value, null, 2)}\n`
}
