import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { TibialSize } from './family.ts'
import { thickenedGrid } from './thickened-grid.ts'
import { stationsAcrossTray, trayOutline } from './tray-outline.ts'

/**
 * Tray and insert as one closed solid (two closed shells that touch for a mobile insert) between the bone-side plane y = 0
 * and the bearing surface, in the component's own
 * frame (right-leg form, mm). The insert is `insertMm` thick at its two lowest points and rises by its coronal and
 * sagittal radii to at most the lip. Pegs and keel are not part of it.
 */
export function traySolid(size: TibialSize, insertMm: number): Mesh {
  const perSize = solids.get(size) ?? new Map<number, Mesh>()
  solids.set(size, perSize)
  const known = perSize.get(insertMm)
  if (known) return known
  const solid =
    size.insertScale === 1
      ? slab(
          size,
          1,
          () => 0,
          (z, x) => size.trayMm + bearingHeight(size, insertMm, z, x),
        )
      : sideBySide(plateSolid(size), insertSolid(size, insertMm))
  perSize.set(insertMm, solid)
  return solid
}

/** The insert alone, from the tray's upper face to the bearing surface. */
export const insertSolid = (size: TibialSize, insertMm: number): Mesh =>
  slab(
    size,
    size.insertScale,
    () => size.trayMm,
    (z, x) => size.trayMm + bearingHeight(size, insertMm, z, x),
  )

const solids = new WeakMap<TibialSize, Map<number, Mesh>>()

/** The tray's plate alone: a straight prism. */
export const plateSolid = (size: TibialSize): Mesh =>
  slab(
    size,
    1,
    () => 0,
    () => size.trayMm,
  )

/** Height of the bearing surface above the plate at lateral z and anterior x of the component's frame, mm. */
export function bearingHeight(s: TibialSize, insertMm: number, z: number, x: number): number {
  const dwell = s.dwellSpacingMm / 2
  const aside = Math.abs(z) - dwell
  const along = x - trayOutline(s).midAt(z)
  const sagittal = (along * along) / (2 * s.insertSagittalRadiusMm)
  const coronal =
    aside >= 0
      ? (aside * aside) / (2 * s.insertCoronalRadiusMm)
      : (s.lipMm * (1 - Math.cos((Math.PI * aside) / dwell))) / 2
  return insertMm + s.lipMm * Math.tanh((sagittal + coronal) / s.lipMm)
}

function slab(
  s: TibialSize,
  outlineScale: number,
  bottom: (z: number, x: number) => number,
  top: (z: number, x: number) => number,
): Mesh {
  const outline = trayOutline(s)
  const rows = stationsAcrossTray(outline.halfMlMm, s.dwellSpacingMm / 2, 24)
  const at = (r: number, c: number, height: (z: number, x: number) => number): Vec3 => {
    const z = rows[r]!
    const mid = outline.midAt(z)
    const edge = c < halfColumns ? outline.backAt(z) : outline.frontAt(z)
    const x = mid + (edge - mid) * Math.abs(c / halfColumns - 1)
    return [outlineScale * x, height(z, x), outlineScale * z]
  }
  return thickenedGrid(
    rows.length,
    2 * halfColumns + 1,
    (r, c) => at(r, c, top),
    (r, c) => at(r, c, bottom),
  )
}

const halfColumns = 14

/** Two solids that touch, as the two closed shells of one mesh. */
function sideBySide(a: Mesh, b: Mesh): Mesh {
  const shift = a.positions.length / 3
  const positions = new Float64Array(a.positions.length + b.positions.length)
  positions.set(a.positions)
  positions.set(b.positions, a.positions.length)
  const triangles = new Uint32Array(a.triangles.length + b.triangles.length)
  triangles.set(a.triangles)
  triangles.set(
    b.triangles.map((v) => v + shift),
    a.triangles.length,
  )
  return { positions, triangles }
}
