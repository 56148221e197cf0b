import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import type { JobContext, OpenedMesh } from '../../src/engine/contract.ts'
import { createHandlers } from '../../src/engine/handlers.ts'
import { writeStl } from '../../src/formats/write-stl.ts'
import type { RepairStep } from '../../src/geometry/repair.ts'
import { icosphere, joined } from '../fixtures/shapes.ts'
import { expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const handlers = createHandlers()
const context: JobContext = { progress: () => {}, transfer: () => {}, signal: new AbortController().signal }
const bytes = readFileSync(sharedPath('bones', 'defects', 'femur_left_holes.ply'))

const opened = async (repairs: readonly RepairStep[], data: Uint8Array = bytes): Promise<OpenedMesh> =>
  expectOk(
    await handlers['open-mesh'](
      { file: new Blob([data as Uint8Array<ArrayBuffer>]), name: 'bone', unitFactor: 1, repairs },
      context,
    ),
  )

test('a preview shows what the repair then makes, and leaves the opened bone as it was', async () => {
  const open = await opened([])
  const before = open.mesh.triangles.slice()
  const { step } = open.proposals[0]!
  const preview = expectOk(await handlers['preview-repair']({ mesh: open.mesh, step }, context))
  expect(open.mesh.triangles).toEqual(before)
  const repaired = await opened([step])
  expect(repaired.key).not.toBe(open.key)
  expect(preview.boundaryEdges).toBe(repaired.health.boundaryEdges)
  expect(preview.volumeMm3).toBe(repaired.volumeMm3)
  expect(preview.volumeBoundMm3).toBe(repaired.volumeBoundMm3)
  expect(preview.display.positions).toEqual(repaired.display.positions)
  expect(preview.added?.ofTriangles).toBe(preview.trianglesAdded)
})

test('an open bone carries its volume with a bound, a closed one is exact', async () => {
  const open = await opened([])
  expect(open.volumeBoundMm3).toBeGreaterThan(0)
  expect(open.warnings.map((w) => w.code)).toContain('mesh/open-bounded')
  const closed = await opened([], readFileSync(sharedPath('bones', 'hra', 'femur_left.ply')))
  expect(closed.volumeBoundMm3).toBe(0)
})

test('two overlapping balls are found to run through each other, one ball is not', async () => {
  const one = icosphere(10, 3)
  const two = joined(one, icosphere(10, 3, [7, 1, 2]))
  const found = expectOk(await handlers['find-crossings']({ mesh: two }, context))
  expect(found.pairs).toBeGreaterThan(10)
  expect(found.points).toHaveLength(found.pairs)
  // Where two equal balls meet is the circle midway between their centres.
  for (const [x, y, z] of found.points) expect(Math.abs(7 * (x - 3.5) + y - 0.5 + 2 * (z - 1))).toBeLessThan(25)
  expect(expectOk(await handlers['find-crossings']({ mesh: one }, context)).pairs).toBe(0)
  expect((await opened([], writeStl(two))).health.closed).toBe(true)
})
