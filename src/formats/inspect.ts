import type { Failure, Result, Warning } from '../failure.ts'
import { principalExtents } from '../geometry/extents.ts'
import { type MeshHealth, meshHealth, type Orientation } from '../geometry/health.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { guessUnit, MM_PER_UNIT, type SizedBone, type UnitGuess } from '../geometry/units.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { MeshFile, MeshFormat } from './mesh-file.ts'
import { plural, warning } from './mesh-file.ts'

/**
 * One entry of `inspect --json` without what needs anatomy (bone and side). Lengths are taken as mm, as the file says
 * no unit. What is not known is null; failed files have null throughout.
 */
export interface FileInspection {
  readonly file: string
  readonly ok: boolean
  readonly format: MeshFormat | null
  readonly triangles: number | null
  readonly vertices: number | null
  readonly closed: boolean | null
  readonly pieces: number | null
  readonly boundaryEdges: number | null
  readonly nonManifoldEdges: number | null
  readonly flippedEdges: number | null
  readonly duplicateTriangles: number | null
  readonly degenerateTriangles: number | null
  readonly orientation: Orientation | null
  /** null while the surface is not closed. */
  readonly volumeMm3: number | null
  readonly areaMm2: number | null
  readonly boxMm: readonly [Vec3, Vec3] | null
  readonly unitGuess: UnitGuess
  readonly failure: Failure | null
  readonly warnings: readonly Warning[]
}

/** What a file is and what is wrong with it. `name` is what the entry calls the file. */
export function inspectFile(read: Result<MeshFile>, name: string): FileInspection {
  return read.ok ? inspectMesh(read.value, name) : failed(name, read.failure)
}

/** The same, with the mesh's health computed already. `bone`: what anatomy takes it for, once known. */
export function inspectMesh(
  file: MeshFile,
  name: string,
  health: MeshHealth = meshHealth(file.mesh),
  bone: SizedBone = 'unknown',
): FileInspection {
  const { mesh } = file
  const hasFaces = mesh.triangles.length > 0
  const box = boxOf(mesh)
  const volumeMm3 = health.shells.reduce((sum, s) => sum + s.signedVolumeMm3, 0)
  const unitGuess = hasFaces ? guessUnit(principalExtents(mesh.positions), bone) : 'unknown'
  return {
    file: name,
    ok: true,
    format: file.format,
    triangles: file.declaredTriangles,
    vertices: hasFaces ? mesh.positions.length / 3 : file.declaredVertices,
    closed: health.closed,
    pieces: health.pieces,
    boundaryEdges: health.boundaryEdges,
    nonManifoldEdges: health.nonManifoldEdges,
    flippedEdges: health.flippedEdges,
    duplicateTriangles: health.duplicateTriangles,
    degenerateTriangles: file.droppedTriangles + health.degenerateTriangles,
    orientation: health.orientation,
    volumeMm3: health.closed ? Math.abs(volumeMm3) : null,
    areaMm2: health.shells.reduce((sum, s) => sum + s.areaMm2, 0),
    boxMm: hasFaces ? box : null,
    unitGuess,
    failure: null,
    warnings: [...file.warnings, ...healthWarnings(health, hasFaces), ...unitWarnings(unitGuess, box, hasFaces)],
  }
}

function failed(name: string, failure: Failure): FileInspection {
  return {
    file: name,
    ok: false,
    format: null,
    triangles: null,
    vertices: null,
    closed: null,
    pieces: null,
    boundaryEdges: null,
    nonManifoldEdges: null,
    flippedEdges: null,
    duplicateTriangles: null,
    degenerateTriangles: null,
    orientation: null,
    volumeMm3: null,
    areaMm2: null,
    boxMm: null,
    unitGuess: 'unknown',
    failure,
    warnings: [],
  }
}

/** What a surface's health means for its numbers, in sentences. */
export function healthWarnings(health: MeshHealth, hasFaces: boolean): Warning[] {
  const list: Warning[] = []
  if (!hasFaces) return list
  if (health.boundaryEdges > 0) {
    const holes = health.boundaryLoops.length
    const message = `The surface is open: ${plural(health.boundaryEdges, 'boundary edge')} in ${plural(holes, 'loop')}. Its volume is withheld.`
    list.push(warning('mesh/open', message, ['volumeMm3']))
  }
  if (health.nonManifoldEdges > 0) {
    const message = `${plural(health.nonManifoldEdges, 'edge')} with more than two triangles. The volume is withheld.`
    list.push(warning('mesh/non-manifold', message, ['volumeMm3']))
  }
  if (health.flippedEdges > 0) {
    const message = `${plural(health.flippedEdges, 'edge')} where neighbours disagree about which side is out. The volume is withheld.`
    list.push(warning('mesh/flipped', message, ['volumeMm3', 'orientation']))
  }
  if (health.orientation === 'inward') {
    list.push(warning('mesh/inward', 'The surface is wound inside out; as a bone it is turned outward.'))
  } else if (health.orientation === 'mixed' && health.flippedEdges === 0) {
    list.push(warning('mesh/mixed-shells', 'Some shells are wound outward and others inward.', ['volumeMm3']))
  }
  if (health.pieces > 1) list.push(warning('mesh/pieces', `The surface is in ${health.pieces} pieces.`))
  if (health.doubledShells > 0) {
    const message = `${plural(health.doubledShells, 'shell')} inside another, wound the same way: what they enclose counts twice.`
    list.push(warning('mesh/doubled-shells', message, ['volumeMm3']))
  }
  if (health.duplicateTriangles > 0) {
    const message = `${plural(health.duplicateTriangles, 'triangle')} given more than once.`
    list.push(warning('mesh/duplicates', message, ['areaMm2']))
  }
  if (health.degenerateTriangles > 0) {
    list.push(warning('mesh/degenerate', `${plural(health.degenerateTriangles, 'triangle')} without area.`))
  }
  return list
}

function unitWarnings(unit: UnitGuess, box: readonly [Vec3, Vec3], hasFaces: boolean): Warning[] {
  if (!hasFaces || unit === 'mm') return []
  const size = [0, 1, 2].map((k) => (box[1][k]! - box[0][k]!).toPrecision(3)).join(' × ')
  if (unit === 'unknown') {
    return [warning('unit/unknown', `The size, ${size}, fits no bone in one unit only; it is read as mm.`)]
  }
  const message = `The size, ${size}, would be that of a bone in ${unit === 'inch' ? 'inches' : unit} (factor ${MM_PER_UNIT[unit]}); it is read as mm until that is confirmed.`
  return [warning('unit/not-mm', message, ['volumeMm3', 'areaMm2', 'boxMm'])]
}

function boxOf(mesh: Mesh): [Vec3, Vec3] {
  const min: [number, number, number] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]
  const max: [number, number, number] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (let i = 0; i < mesh.positions.length; i++) {
    const k = i % 3
    const c = mesh.positions[i]!
    if (c < min[k]!) min[k] = c
    if (c > max[k]!) max[k] = c
  }
  return [min, max]
}
