import type { BoundaryLoop } from '../boundary.ts'
import { duplicateTriangles } from '../duplicates.ts'
import { type EdgeMatch, matchEdges, NON_MANIFOLD, nextHalfEdge } from '../edge-match.ts'
import { degenerateTriangles, healthFromEdges, type MeshHealth, meshHealth } from '../health.ts'
import type { Mesh } from '../mesh.ts'
import { dot, sub, type Vec3 } from '../vec.ts'
import { applyRepair } from './apply.ts'
import { fins } from './drop-fins.ts'
import { fitPlaneToLoop } from './loop-plane.ts'
import { orient } from './orient.ts'
import type { RepairStep } from './step.ts'
import { bordersAfter, boundaryEdges, joinsWithin } from './weld-boundary.ts'

/** A repair that could be made: plain data, nothing is changed until the step is applied. */
export interface RepairProposal {
  readonly step: RepairStep
  /** One plain sentence: what is there and what the repair would do. */
  readonly message: string
  /** How many edges, triangles, holes or pieces are concerned. */
  readonly count: number
  /** Their size: length of the longest border or edge, or extent of the largest piece, mm. */
  readonly sizeMm: number
  /** Where: lines to draw on the mesh, and one point each to find them by. At most `MOST_PLACES` of them. */
  readonly lines: readonly (readonly Vec3[])[]
  readonly points: readonly Vec3[]
  /** Whether surface is added that no one has scanned. */
  readonly invents: boolean
}

/** What a repair would make of the mesh, without making it. */
export interface RepairPreview {
  readonly mesh: Mesh
  readonly health: MeshHealth
  readonly trianglesAdded: number
}

/** Applies a proposal's step to a copy, to be looked at. */
export function previewRepair(mesh: Mesh, step: RepairStep): RepairPreview {
  const repaired = applyRepair(mesh, step)
  const trianglesAdded = (repaired.triangles.length - mesh.triangles.length) / 3
  return { mesh: repaired, health: meshHealth(repaired), trianglesAdded }
}

export const MOST_PLACES = 200
/** Borders up to this length (a hole about 10 mm wide) count as small holes. Common practice, no source. */
export const SMALL_HOLE_MM = 32
const ISLAND_AREA_FRACTION = 0.01
/** A border is flat when no vertex is farther from its plane than this, absolutely and relative to its length. */
const FLAT_MM = 0.25
const FLAT_FRACTION = 0.002

/**
 * The repairs that would help this welded mesh (mm), in the order in which they are best made. A sound mesh gets none.
 * Later proposals may change once earlier ones are applied; ask again after each.
 */
export function proposeRepairs(mesh: Mesh): RepairProposal[] {
  const edges = matchEdges(mesh.triangles, mesh.positions.length / 3)
  const health = healthFromEdges(mesh, edges)
  return [
    ...duplicates(mesh, edges),
    ...hangingSheets(mesh, edges),
    ...degenerate(mesh),
    ...cracks(mesh, edges, health),
    ...islands(mesh, health),
    ...turned(mesh, edges, health),
    ...holes(mesh, health),
    ...sharedEdges(mesh, edges),
  ]
}

function duplicates(mesh: Mesh, { twin }: EdgeMatch): RepairProposal[] {
  const found = duplicateTriangles(mesh.triangles, twin)
  if (found.length === 0) return []
  const message = `${count(found.length, 'triangle')} given more than once: keep each once.`
  return [{ step: { kind: 'drop-duplicates' }, message, ...atTriangles(mesh, found), invents: false }]
}

function hangingSheets(mesh: Mesh, { nonManifoldEdges, boundaryEdges }: EdgeMatch): RepairProposal[] {
  if (nonManifoldEdges === 0 || boundaryEdges === 0) return []
  const isFin = fins(mesh, ISLAND_AREA_FRACTION)
  const found: number[] = []
  for (let t = 0; t < isFin.length; t++) if (isFin[t] === 1) found.push(t)
  if (found.length === 0) return []
  const message = `${count(found.length, 'triangle')} in small sheets that hang on the surface by an edge: drop them.`
  const step: RepairStep = { kind: 'drop-fins', belowAreaFraction: ISLAND_AREA_FRACTION }
  return [{ step, message, ...atTriangles(mesh, found), invents: false }]
}

function degenerate(mesh: Mesh): RepairProposal[] {
  const found = degenerateTriangles(mesh)
  if (found.length === 0) return []
  const message = `${count(found.length, 'triangle')} without area: divide the neighbour instead.`
  return [{ step: { kind: 'mend-degenerate' }, message, ...atTriangles(mesh, found), invents: false }]
}

/** The least tolerance that closes most of the border without new edges of three triangles. */
function cracks(mesh: Mesh, { twin }: EdgeMatch, health: MeshHealth): RepairProposal[] {
  if (health.boundaryEdges === 0) return []
  const diagonal = diagonalOf(mesh)
  const edges = boundaryEdges(mesh.triangles, twin)
  let best: { toleranceMm: number; edges: number } | null = null
  for (const fraction of [1e-7, 1e-6, 1e-5, 1e-4]) {
    const toleranceMm = Number((fraction * diagonal).toPrecision(2))
    if (!(toleranceMm > 0)) continue
    const after = bordersAfter(edges, joinsWithin(mesh.positions, edges, toleranceMm))
    if (after.crowded > 0) continue
    if (after.single < 0.8 * (best?.edges ?? health.boundaryEdges)) best = { toleranceMm, edges: after.single }
  }
  if (best === null) return []
  const closed = health.boundaryEdges - best.edges
  const message = `Cracks: joining border vertices closer than ${best.toleranceMm} mm closes ${closed} of ${health.boundaryEdges} boundary edges.`
  const step: RepairStep = { kind: 'weld', toleranceMm: best.toleranceMm }
  return [{ step, message, ...atLoops(mesh, health.boundaryLoops), count: closed, invents: false }]
}

function islands(mesh: Mesh, health: MeshHealth): RepairProposal[] {
  const largest = Math.max(0, ...health.shells.map((s) => s.areaMm2))
  const small = health.shells.filter((s) => s.areaMm2 < ISLAND_AREA_FRACTION * largest)
  if (small.length === 0) return []
  const message = `${count(small.length, 'small piece')}, each under 1 % of the largest one's area: drop ${small.length === 1 ? 'it' : 'them'}.`
  const shown = small.slice(0, MOST_PLACES)
  return [
    {
      step: { kind: 'drop-islands', belowAreaFraction: ISLAND_AREA_FRACTION },
      message,
      count: small.length,
      sizeMm: Math.max(...small.map((s) => Math.hypot(...sub(s.box.max, s.box.min)))),
      lines: [],
      points: shown.map((s) => vertexOf(mesh, 3 * s.anyTriangle)),
      invents: false,
    },
  ]
}

function turned(mesh: Mesh, { twin }: EdgeMatch, health: MeshHealth): RepairProposal[] {
  const { triangles } = mesh
  const step: RepairStep = { kind: 'orient' }
  if (health.closed && health.orientation === 'outward') return []
  const after = orient(mesh, twin)
  let changed = 0
  for (let t = 0; t < triangles.length; t += 3) if (after.triangles[t + 1] !== triangles[t + 1]) changed++
  if (changed === 0) return []
  const lines: Vec3[][] = []
  for (let h = 0; h < twin.length && lines.length < MOST_PLACES; h++) {
    const across = twin[h]!
    if (across > h && triangles[h] === triangles[across])
      lines.push([vertexOf(mesh, h), vertexOf(mesh, nextHalfEdge(h))])
  }
  const all = changed === triangles.length / 3
  const message = all
    ? 'The surface is wound inside out: turn it.'
    : health.flippedEdges > 0
      ? `${count(changed, 'triangle')} wound the wrong way (${count(health.flippedEdges, 'edge')} where neighbours disagree): turn them.`
      : `Whole pieces (${count(changed, 'triangle')}) wound inside out: turn them.`
  const points = lines.map((line) => line[0]!)
  return [{ step, message, count: changed, sizeMm: diagonalOf(mesh), lines, points, invents: false }]
}

function holes(mesh: Mesh, health: MeshHealth): RepairProposal[] {
  const loops = health.boundaryLoops.filter((l) => l.vertices.length > 2)
  const small = loops.filter((l) => l.lengthMm <= SMALL_HOLE_MM)
  const proposals: RepairProposal[] = []
  if (small.length > 0) {
    const message = `${count(small.length, 'small hole')} (border at most ${SMALL_HOLE_MM} mm): fill ${small.length === 1 ? 'it' : 'them'}.`
    const step: RepairStep = { kind: 'fill-holes', minLengthMm: 0, maxLengthMm: SMALL_HOLE_MM }
    proposals.push({ step, message, ...atLoops(mesh, small), invents: true })
  }
  const rest = new Set(loops.filter((l) => l.lengthMm > SMALL_HOLE_MM))
  for (const loop of [...rest].sort((a, b) => b.lengthMm - a.lengthMm)) {
    if (!rest.has(loop)) continue
    const plane = truncation(mesh, loop)
    if (plane === null) continue
    const { point, normal } = plane
    const same = [...rest].filter((l) =>
      l.vertices.every((v) => Math.abs(distance(mesh, v, point, normal)) <= plane.toleranceMm),
    )
    for (const l of same) rest.delete(l)
    const message = `The bone ends in a flat border of ${loop.lengthMm.toFixed(0)} mm (a truncated scan): close it with a flat face.`
    const step: RepairStep = { kind: 'cap-plane', point, normal, toleranceMm: plane.toleranceMm }
    proposals.push({ step, message, ...atLoops(mesh, same), invents: true })
  }
  for (const loop of [...rest].sort((a, b) => a.lengthMm - b.lengthMm)) {
    const message = `A hole with a border of ${loop.lengthMm.toFixed(0)} mm: fill it.`
    const step: RepairStep = {
      kind: 'fill-holes',
      minLengthMm: Math.floor(10 * loop.lengthMm) / 10,
      maxLengthMm: Math.ceil(10 * loop.lengthMm) / 10,
    }
    proposals.push({ step, message, ...atLoops(mesh, [loop]), invents: true })
  }
  return proposals
}

/** The plane of a flat border with the whole mesh on one side of it, its normal pointing away from the mesh. */
function truncation(mesh: Mesh, loop: BoundaryLoop) {
  const { point, normal, farthestMm } = fitPlaneToLoop(mesh.positions, loop.vertices.toReversed())
  const toleranceMm = Math.max(FLAT_MM, FLAT_FRACTION * loop.lengthMm)
  if (farthestMm > toleranceMm) return null
  for (let v = 0; v < mesh.positions.length / 3; v++) {
    if (distance(mesh, v, point, normal) > toleranceMm) return null
  }
  return { point, normal, toleranceMm }
}

function sharedEdges(mesh: Mesh, { twin, nonManifoldEdges }: EdgeMatch): RepairProposal[] {
  if (nonManifoldEdges === 0) return []
  const lines: Vec3[][] = []
  const seen = new Set<string>()
  let longest = 0
  for (let h = 0; h < twin.length; h++) {
    if (twin[h] !== NON_MANIFOLD) continue
    const ends = [mesh.triangles[h]!, mesh.triangles[nextHalfEdge(h)]!].sort((a, b) => a - b).join()
    if (seen.has(ends)) continue
    seen.add(ends)
    const line = [vertexOf(mesh, h), vertexOf(mesh, nextHalfEdge(h))]
    longest = Math.max(longest, Math.hypot(...sub(line[0]!, line[1]!)))
    if (lines.length < MOST_PLACES) lines.push(line)
  }
  const message = `${count(nonManifoldEdges, 'edge')} with more than two triangles, where the surface touches itself: part it there without moving anything.`
  const points = lines.map((line) => line[0]!)
  const step: RepairStep = { kind: 'split-edges' }
  return [{ step, message, count: nonManifoldEdges, sizeMm: longest, lines, points, invents: false }]
}

const count = (n: number, one: string): string => `${n} ${one}${n === 1 ? '' : 's'}`

/** The position of the vertex at this corner. */
function vertexOf({ positions: p, triangles }: Mesh, corner: number): Vec3 {
  const v = 3 * triangles[corner]!
  return [p[v]!, p[v + 1]!, p[v + 2]!]
}

function distance({ positions: p }: Mesh, v: number, point: Vec3, normal: Vec3): number {
  return dot(sub([p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!], point), normal)
}

function diagonalOf({ positions: p }: Mesh): number {
  let square = 0
  for (let k = 0; k < 3; k++) {
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (let i = k; i < p.length; i += 3) {
      low = Math.min(low, p[i]!)
      high = Math.max(high, p[i]!)
    }
    if (high > low) square += (high - low) ** 2
  }
  return Math.sqrt(square)
}

function atTriangles(mesh: Mesh, triangles: readonly number[]) {
  const outline = (t: number) => [0, 1, 2, 0].map((k) => vertexOf(mesh, 3 * t + k))
  const lines = triangles.slice(0, MOST_PLACES).map(outline)
  let sizeMm = 0
  for (const t of triangles) {
    const [a, b, c] = outline(t) as [Vec3, Vec3, Vec3]
    sizeMm = Math.max(sizeMm, Math.hypot(...sub(a, b)), Math.hypot(...sub(b, c)), Math.hypot(...sub(c, a)))
  }
  return { count: triangles.length, sizeMm, lines, points: lines.map((line) => line[0]!) }
}

function atLoops({ positions: p }: Mesh, loops: readonly BoundaryLoop[]) {
  const shown = loops.slice(0, MOST_PLACES)
  const at = (v: number): Vec3 => [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]
  return {
    count: loops.length,
    sizeMm: Math.max(0, ...loops.map((l) => l.lengthMm)),
    lines: shown.map((l) => [...l.vertices, l.vertices[0]!].map(at)),
    points: shown.map((l) => l.centre),
  }
}
