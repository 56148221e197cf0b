import { describe, expect, it } from 'vitest'
import { readMesh, readMeshAsync } from '../../src/formats/read.ts'
import { writePly } from '../../src/formats/write-ply.ts'
import { writeStl } from '../../src/formats/write-stl.ts'
import { boneLike } from '../fixtures/shapes.ts'
import { expectFailure, expectOk } from '../near.ts'

const bone = boneLike(200_000, 3)
const files = [
  ['a.stl', writeStl(bone)],
  ['a.ply', writePly(bone, { precision: 'double' })],
] as const

describe('reading in chunks', () => {
  it.each(files)('gives the same mesh as reading at once: %s', async (name, bytes) => {
    const { mesh, ...told } = expectOk(await readMeshAsync(bytes, name))
    const { mesh: meshAtOnce, ...toldAtOnce } = expectOk(readMesh(bytes, name))
    expect(told).toEqual(toldAtOnce)
    expect(Buffer.from(mesh.positions.buffer).equals(Buffer.from(meshAtOnce.positions.buffer))).toBe(true)
    expect(Buffer.from(mesh.triangles.buffer).equals(Buffer.from(meshAtOnce.triangles.buffer))).toBe(true)
  })

  it.each(files)('reports a fraction that rises from above 0 to 1 at most, more than once: %s', async (name, bytes) => {
    const seen: number[] = []
    await readMeshAsync(bytes, name, { onProgress: (f) => seen.push(f) })
    expect(seen.length).toBeGreaterThan(1)
    expect(seen).toEqual(seen.toSorted((a, b) => a - b))
    expect(seen[0]).toBeGreaterThan(0)
    expect(seen.at(-1)).toBeLessThanOrEqual(1)
  })

  it.each(files)('stops half-way when it is cancelled: %s', async (name, bytes) => {
    const stop = new AbortController()
    let calls = 0
    const onProgress = () => {
      calls++
      stop.abort()
    }
    expectFailure(await readMeshAsync(bytes, name, { onProgress, signal: stop.signal }), 'job/cancelled')
    expectFailure(readMesh(bytes, name, { signal: stop.signal }), 'job/cancelled')
    expect(calls).toBe(1)
  })

  it('lets other work run between chunks', async () => {
    let turns = 0
    const timer = setInterval(() => turns++, 0)
    await readMeshAsync(files[0][1], 'a.stl')
    clearInterval(timer)
    expect(turns).toBeGreaterThan(0)
  })
})
