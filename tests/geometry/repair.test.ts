import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readMesh } from '../../src/formats/read.ts'
import { clip } from '../../src/geometry/clip.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import { area, volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { applyRepair, applyRepairs, previewRepair, proposeRepairs, type RepairStep } from '../../src/geometry/repair.ts'
import { flipWinding } from '../../src/geometry/transform.ts'
import { boneLike, box, icosphere, joined, torus } from '../fixtures/shapes.ts'
import { expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const shared = (...parts: string[]): Mesh =>
  expectOk(readMesh(new Uint8Array(readFileSync(sharedPath(...parts))), parts.at(-1)!)).mesh
const keep = (mesh: Mesh, test: (t: number) => boolean): Mesh => ({
  positions: mesh.positions,
  triangles: mesh.triangles.filter((_, i) => test(Math.floor(i / 3))),
})
const plus = (mesh: Mesh, ...triangles: number[]): Mesh => ({
  positions: mesh.positions,
  triangles: Uint32Array.from([...mesh.triangles, ...triangles]),
})
const cornersOf = (mesh: Mesh, t: number) => [...mesh.triangles.subarray(3 * t, 3 * t + 3)]
const kinds = (mesh: Mesh) => proposeRepairs(mesh).map((p) => p.step.kind)
const sphere = icosphere(20, 3)

/** Applies the first proposal again and again; the steps taken. */
function repairAll(mesh: Mesh): { mesh: Mesh; steps: RepairStep[] } {
  const steps: RepairStep[] = []
  let current = mesh
  for (
    let next = proposeRepairs(current)[0];
    next !== undefined && steps.length < 20;
    next = proposeRepairs(current)[0]
  ) {
    steps.push(next.step)
    current = applyRepair(current, next.step)
  }
  return { mesh: current, steps }
}

describe('proposals', () => {
  it('are none for a sound surface', () => {
    for (const mesh of [sphere, boneLike(3000, 1), box([0, 0, 0], [1, 1, 1]), torus(20, 5, 40, 20)]) {
      expect(proposeRepairs(mesh)).toEqual([])
    }
  })

  it('change nothing by themselves and are plain data with count, place and size', () => {
    const mesh = keep(boneLike(3000, 1), (t) => t !== 7 && t !== 100)
    const before = { positions: mesh.positions.slice(), triangles: mesh.triangles.slice() }
    const proposals = proposeRepairs(mesh)
    expect(mesh).toEqual(before)
    expect(structuredClone(proposals)).toEqual(proposals)
    for (const p of proposals) {
      expect(p.count).toBeGreaterThan(0)
      expect(p.sizeMm).toBeGreaterThan(0)
      expect(p.points.length).toBeGreaterThan(0)
      expect(p.message).toMatch(/^[A-Z0-9].*\.$/)
    }
    const preview = previewRepair(mesh, proposals[0]!.step)
    expect([preview.health.closed, preview.trianglesAdded, mesh]).toEqual([true, 2, before])
  })

  it('give the same mesh again when their steps are replayed from JSON', () => {
    const mesh = shared('bones', 'defects', 'tibia_right_nonmanifold.ply')
    const { mesh: repaired, steps } = repairAll(mesh)
    expect(applyRepairs(mesh, JSON.parse(JSON.stringify(steps)) as RepairStep[])).toEqual(repaired)
  })
})

describe('each repair undoes one kind of damage', () => {
  it('small holes are filled: the surface closes, volume and area come back within what the holes took', () => {
    const bone = boneLike(20_000, 3)
    const random = seededRandom(5)
    const lost = new Set(Array.from({ length: 60 }, () => Math.floor((random() * bone.triangles.length) / 3)))
    const damaged = keep(bone, (t) => !lost.has(t))
    expect(kinds(damaged)).toContain('fill-holes')
    const repaired = repairAll(damaged).mesh
    expect(meshHealth(repaired).closed).toBe(true)
    expectNear(volume(repaired), volume(bone), { rel: 2e-4, because: 'holes of one to three triangles of 40,000 mm³' })
    expectNear(area(repaired), area(bone), { rel: 1e-3, because: 'the same' })
  })

  it('filling a flat hole adds the exact area, with no triangle without area', () => {
    const cube = box([0, 0, 0], [10, 10, 10])
    const filled = applyRepair(
      keep(cube, (t) => t > 1),
      { kind: 'fill-holes', minLengthMm: 0, maxLengthMm: 100 },
    )
    expectNear(area(filled), 600, { rel: 1e-14, because: 'a flat square, exact corners' })
    expectNear(volume(filled), 1000, { rel: 1e-14, because: 'a flat square, exact corners' })
    expect(meshHealth(filled)).toMatchObject({ closed: true, degenerateTriangles: 0, orientation: 'outward' })
  })

  it('long borders are filled too, beyond the search over all triangulations', () => {
    const fine = icosphere(50, 6)
    const cut = keep(fine, (t) => cornersOf(fine, t).some((v) => fine.positions[3 * v + 2]! < 20))
    const loop = meshHealth(cut).boundaryLoops[0]!
    expect(loop.vertices.length).toBeGreaterThan(200)
    const step: RepairStep = { kind: 'fill-holes', minLengthMm: 0, maxLengthMm: 1e6 }
    expect(meshHealth(applyRepair(cut, step))).toMatchObject({ closed: true, orientation: 'outward' })
  })

  it('cracks are closed by the smallest tolerance that does it', () => {
    const random = seededRandom(2)
    const loose: Mesh = {
      positions: Float64Array.from(
        Array.from(sphere.triangles).flatMap((v) =>
          [0, 1, 2].map((k) => sphere.positions[3 * v + k]! + 1e-5 * (random() - 0.5)),
        ),
      ),
      triangles: sphere.triangles.map((_, i) => i),
    }
    const first = proposeRepairs(loose)[0]!
    expect(first.step.kind).toBe('weld')
    const repaired = applyRepair(loose, first.step)
    expect(meshHealth(repaired)).toMatchObject({ closed: true, pieces: 1, orientation: 'outward' })
    expectNear(volume(repaired), volume(sphere), { rel: 1e-5, because: 'corners moved by up to 1e-5 of 20 mm' })
  })

  it('copies of triangles are dropped, whichever way they are wound', () => {
    for (const extra of [
      cornersOf(sphere, 5),
      cornersOf(sphere, 5).reverse(),
      [...cornersOf(sphere, 5), ...cornersOf(sphere, 6)],
    ]) {
      expect(applyRepair(plus(sphere, ...extra), { kind: 'drop-duplicates' })).toEqual(sphere)
    }
  })

  it('a sheet of two opposite copies inside goes altogether', () => {
    const cube = box([0, 0, 0], [10, 10, 10])
    const [a, b, c] = [0, 1, 2].map((v) => v) as [number, number, number]
    const far = [...Array(8).keys()].find((v) => {
      const uses = (x: number, y: number) =>
        [...Array(12).keys()].some((t) => cornersOf(cube, t).includes(x) && cornersOf(cube, t).includes(y))
      return v > 2 && !uses(a, v)
    })!
    const sheet = plus(cube, a, b, far, a, far, b, c, a, far, c, far, a)
    expect(applyRepair(sheet, { kind: 'drop-duplicates' })).toEqual(cube)
  })

  it('fins are dropped', () => {
    const tip = sphere.positions.length / 3
    const fromCentre = (v: number, k: number) => [0, 1, 2].map((i) => k * sphere.positions[3 * v + i]!)
    const finned: Mesh = {
      positions: Float64Array.of(...sphere.positions, ...fromCentre(sphere.triangles[0]!, 1.2)),
      triangles: Uint32Array.of(...sphere.triangles, sphere.triangles[0]!, sphere.triangles[1]!, tip),
    }
    expect(kinds(finned)[0]).toBe('drop-fins')
    expect(repairAll(finned).mesh).toEqual(sphere)
  })

  it('islands are dropped and the bone stays', () => {
    const bone = boneLike(3000, 2)
    const dirty = joined(joined(icosphere(0.5, 1, [200, 0, 0]), bone), icosphere(0.3, 1, [0, 300, 0]))
    expect(proposeRepairs(dirty)[0]).toMatchObject({ count: 2, step: { kind: 'drop-islands' } })
    const repaired = repairAll(dirty).mesh
    expect(repaired.triangles.length).toBe(bone.triangles.length)
    expectNear(volume(repaired), volume(bone), { rel: 1e-12, because: 'the same bone, about another origin' })
  })

  it('winding is mended whatever share of triangles is turned, and turned outward as a whole', () => {
    const source = boneLike(2000, 6)
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.double({ min: 0, max: 1, noNaN: true }), (seed, share) => {
        const random = seededRandom(seed)
        const triangles = source.triangles.slice()
        for (let t = 0; t < triangles.length; t += 3) {
          if (random() < share) triangles.set([triangles[t + 1]!, triangles[t]!], t)
        }
        const repaired = applyRepair({ positions: source.positions, triangles }, { kind: 'orient' })
        expect(meshHealth(repaired)).toMatchObject({ closed: true, orientation: 'outward' })
      }),
      { numRuns: 20 },
    )
  })

  it('a cavity keeps facing inward, and a bone that is inside out with its cavity is turned with it', () => {
    const hollow = joined(icosphere(20, 3), { ...icosphere(10, 2), triangles: flipWinding(icosphere(10, 2).triangles) })
    expect(proposeRepairs(hollow)).toEqual([])
    const turned = { positions: hollow.positions, triangles: flipWinding(hollow.triangles) }
    expect(applyRepair(turned, { kind: 'orient' }).triangles).toEqual(hollow.triangles)
  })

  it('an open surface is turned outward too', () => {
    const open = keep(sphere, (t) => t > 300)
    const turned = { positions: open.positions, triangles: flipWinding(open.triangles) }
    expect(applyRepair(turned, { kind: 'orient' }).triangles).toEqual(open.triangles)
    expect(kinds(open)).not.toContain('orient')
  })

  it('triangles without area go without leaving a crack', () => {
    // An edge of the cube gets a vertex at its middle on one side only, and a flat triangle to close the gap.
    const cube = box([0, 0, 0], [10, 10, 10])
    const [a, b, c] = cornersOf(cube, 0) as [number, number, number]
    const middle = 8
    const at = (v: number, k: number) => cube.positions[3 * v + k]!
    const positions = Float64Array.of(...cube.positions, ...[0, 1, 2].map((k) => (at(a, k) + at(b, k)) / 2))
    const triangles = Uint32Array.of(a, middle, c, middle, b, c, ...cube.triangles.subarray(3), a, b, middle)
    const damaged = { positions, triangles }
    expect(meshHealth(damaged)).toMatchObject({ closed: true, degenerateTriangles: 1 })
    const repaired = applyRepair(damaged, { kind: 'mend-degenerate' })
    expect(meshHealth(repaired)).toMatchObject({ closed: true, degenerateTriangles: 0, orientation: 'outward' })
    expectNear(volume(repaired), 1000, { rel: 1e-14, because: 'nothing moves' })
  })

  it('a truncated bone is capped flat, its marrow canal left open', () => {
    const outer = boneLike(8000, 4)
    const { min, max } = meshHealth(outer).shells[0]!.box
    const middle = [0, 1, 2].map((k) => (min[k]! + max[k]!) / 2) as [number, number, number]
    const whole = clip(outer, { point: middle, normal: [0, 1, 0] })
    const kept = expectOk(whole).kept
    const isCap = (t: number) =>
      cornersOf(kept, t).every((v) => Math.abs(kept.positions[3 * v + 1]! - middle[1]) < 1e-9)
    const truncated = keep(kept, (t) => !isCap(t))
    const proposal = proposeRepairs(truncated)[0]!
    expect(proposal).toMatchObject({ count: 1, invents: true, step: { kind: 'cap-plane' } })
    const capped = applyRepair(truncated, proposal.step)
    expect(meshHealth(capped)).toMatchObject({ closed: true, orientation: 'outward' })
    expectNear(volume(capped), volume(kept), { rel: 1e-12, because: 'the same flat cap, other triangles' })
  })

  it('a tube gets rings for caps', () => {
    const ring = (radius: number, y: number) =>
      Array.from({ length: 24 }, (_, i) => [
        radius * Math.cos((i * Math.PI) / 12),
        y,
        radius * Math.sin((i * Math.PI) / 12),
      ]).flat()
    const wall = (low: number, high: number, outward: boolean) =>
      Array.from({ length: 24 }, (_, i) => {
        const j = (i + 1) % 24
        const faces = [low + i, high + i, high + j, low + i, high + j, low + j]
        return outward ? faces : faces.toReversed()
      }).flat()
    const tube: Mesh = {
      positions: Float64Array.from([...ring(15, 0), ...ring(15, 100), ...ring(8, 0), ...ring(8, 100)]),
      triangles: Uint32Array.from([...wall(0, 24, true), ...wall(48, 72, false)]),
    }
    expect(kinds(tube)).toEqual(['cap-plane', 'cap-plane'])
    const { mesh, steps } = repairAll(tube)
    expect([steps.length, meshHealth(mesh).closed, meshHealth(mesh).orientation]).toEqual([2, true, 'outward'])
    const polygon = 12 * Math.sin(Math.PI / 12)
    expectNear(volume(mesh), 100 * polygon * (15 ** 2 - 8 ** 2), { rel: 1e-12, because: 'two 24-gons' })
  })

  it('solids that share an edge or a vertex are parted without moving anything', () => {
    const a = box([0, 0, 0], [1, 1, 1])
    const b = box([1, 1, 0], [2, 2, 1])
    const welded = expectOk(readMesh(stlOf(joined(a, b)), 'two.stl')).mesh
    expect(meshHealth(welded)).toMatchObject({ closed: false, nonManifoldEdges: 1 })
    const parted = applyRepair(welded, { kind: 'split-edges' })
    expect(meshHealth(parted)).toMatchObject({ closed: true, pieces: 2, orientation: 'outward' })
    expectNear(volume(parted), 2, { rel: 1e-15, because: 'nothing moves' })
  })

  it('a solid that touches itself along one edge in its middle is parted there', () => {
    // Two prisms beside a common edge, joined at both of their ends by blocks: the ends of the edge stay one fan each.
    const cells = new Set(['0 0 0', '1 1 0', '0 0 -1', '1 0 -1', '1 1 -1', '0 0 1', '1 0 1', '1 1 1'])
    const mesh = voxels(cells)
    expect(meshHealth(mesh).nonManifoldEdges).toBe(1)
    const parted = applyRepair(mesh, { kind: 'split-edges' })
    expect(meshHealth(parted)).toMatchObject({ closed: true, orientation: 'outward' })
    expectNear(volume(parted), cells.size, { rel: 1e-14, because: 'nothing moves' })
    expectNear(area(parted), area(mesh), { rel: 1e-14, because: 'nothing moves' })
  })
})

describe('real bones and files with defects', () => {
  it.each([
    ['bones/mri/distal_femur_right_1.ply', ['drop-fins']],
    ['bones/mri/proximal_tibia_right_1.stl', ['drop-fins']],
    ['bones/defects/tibia_left_inward.stl', ['orient']],
    ['bones/defects/tibia_right_nonmanifold.ply', ['drop-duplicates', 'drop-fins']],
    ['bones/defects/femur_left_holes.ply', ['fill-holes', 'fill-holes', 'fill-holes']],
    ['mesh-corpus/mikedh__trimesh/models/featuretype.STL', ['weld']],
    ['mesh-corpus/mikedh__trimesh/models/angle_block.STL', ['weld']],
    ['mesh-corpus/mikedh__trimesh/models/shared.STL', ['split-edges']],
    ['mesh-corpus/mikedh__trimesh/models/cycloidal.ply', ['drop-islands', 'split-edges']],
    ['mesh-corpus/mikedh__trimesh/models/multibody.stl', ['orient']],
  ])('%s becomes closed and outward', (path, expected) => {
    const { mesh, steps } = repairAll(shared(...path.split('/')))
    expect(steps.map((s) => s.kind)).toEqual(expected)
    expect(meshHealth(mesh)).toMatchObject({ closed: true, orientation: 'outward', duplicateTriangles: 0 })
  })

  it('the STL of a part whose PLY is closed has the volume of the PLY once its cracks are closed', () => {
    const models = ['mesh-corpus', 'mikedh__trimesh', 'models']
    const stl = repairAll(shared(...models, 'featuretype.STL')).mesh
    expectNear(volume(stl), volume(shared(...models, 'featuretype.ply')), { rel: 1e-6, because: 'float coordinates' })
  })
})

describe('whatever the mesh', () => {
  it('no repair throws, makes an invalid index or a repeated corner, and repeating it changes nothing more', () => {
    const steps: RepairStep[] = [
      { kind: 'weld', toleranceMm: 0.5 },
      { kind: 'drop-duplicates' },
      { kind: 'drop-fins', belowAreaFraction: 0.5 },
      { kind: 'mend-degenerate' },
      { kind: 'orient' },
      { kind: 'drop-islands', belowAreaFraction: 0.5 },
      { kind: 'fill-holes', minLengthMm: 0, maxLengthMm: 50 },
      { kind: 'cap-plane', point: [0, 0, 0], normal: [0, 0, 1], toleranceMm: 0.1 },
      { kind: 'split-edges' },
    ]
    const corner = fc.integer({ min: 0, max: 7 })
    const face = fc.tuple(corner, corner, corner).filter(([a, b, c]) => a !== b && b !== c && c !== a)
    fc.assert(
      fc.property(fc.array(face, { maxLength: 25 }), fc.constantFrom(...steps), (faces, step) => {
        const cube = box([0, 0, 0], [3, 4, 5])
        const mesh = { positions: cube.positions, triangles: Uint32Array.from(faces.flat()) }
        const once = applyRepair(mesh, step)
        const n = once.positions.length / 3
        for (let t = 0; t < once.triangles.length; t += 3) {
          const [a, b, c] = cornersOf(once, t / 3) as [number, number, number]
          expect(a < n && b < n && c < n && a !== b && b !== c && c !== a).toBe(true)
        }
        if (step.kind === 'orient' || step.kind === 'drop-duplicates') expect(applyRepair(once, step)).toEqual(once)
        expect(proposeRepairs(once).every((p) => Number.isFinite(p.sizeMm))).toBe(true)
      }),
      { numRuns: 1500 },
    )
  })
})

function stlOf(mesh: Mesh): Uint8Array {
  const bytes = new Uint8Array(84 + (50 * mesh.triangles.length) / 3)
  const view = new DataView(bytes.buffer)
  view.setUint32(80, mesh.triangles.length / 3, true)
  mesh.triangles.forEach((v, i) => {
    const at = 84 + 50 * Math.floor(i / 3) + 12 + 12 * (i % 3)
    for (let k = 0; k < 3; k++) view.setFloat32(at + 4 * k, mesh.positions[3 * v + k]!, true)
  })
  return bytes
}

/** The welded surface of unit cubes, inner faces left out. */
function voxels(cells: ReadonlySet<string>): Mesh {
  const triangles: number[] = []
  const numbers = new Map<string, number>()
  const positions: number[] = []
  const vertex = (p: number[]) => {
    const key = p.join(' ')
    if (!numbers.has(key)) {
      numbers.set(key, positions.length / 3)
      positions.push(...p)
    }
    return numbers.get(key)!
  }
  for (const cell of cells) {
    const at = cell.split(' ').map(Number)
    for (let axis = 0; axis < 3; axis++) {
      for (const side of [0, 1]) {
        const neighbour = at.map((c, k) => (k === axis ? c + (side === 1 ? 1 : -1) : c))
        if (cells.has(neighbour.join(' '))) continue
        const corner = (u: number, v: number) => {
          const p = [...at]
          p[axis]! += side
          p[(axis + 1) % 3]! += u
          p[(axis + 2) % 3]! += v
          return vertex(p)
        }
        const quad = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)]
        if (side === 0) quad.reverse()
        triangles.push(quad[0]!, quad[1]!, quad[2]!, quad[0]!, quad[2]!, quad[3]!)
      }
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}
