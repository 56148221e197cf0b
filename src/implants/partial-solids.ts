import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { PartialFemoralSize, PartialTibialSize } from './partial-family.ts'
import { condyleArcs, rayThrough, type SagittalPoint } from './sagittal-profile.ts'
import { stationsAlong } from './stations.ts'
import { thickenedGrid } from './thickened-grid.ts'

/** A medial partial femoral component as a closed solid in its own frame (right-leg form, mm): one condyle about one crest. */
export function partialFemoralSolid(s: PartialFemoralSize): Mesh {
  const { hub, bearingBehind } = condyleArcs(s)
  const rows = stationsAlong(
    [
      [0, s.condyleHeightMm],
      [0, s.posteriorChamferMm],
      [s.posteriorChamferMm, 0],
      [s.distalLengthMm, 0],
    ],
    [
      [0, hub[1]],
      [hub[0], 0],
    ],
  )
  const half = s.overallMlMm / 2
  const columns = Array.from({ length: 2 * halfColumns + 1 }, (_, i) => (half * (i - halfColumns)) / halfColumns)
  const outerAt = (bone: SagittalPoint, z: number): SagittalPoint => {
    const { from, way } = rayThrough(hub, bone)
    const bearing = bearingBehind(from, way)
    const thick = Math.hypot(bearing[0] - bone[0], bearing[1] - bone[1])
    const drop = s.coronalRadiusMm - Math.sqrt(s.coronalRadiusMm ** 2 - z * z)
    const share = Math.max(thick - drop, Math.min(thick, thinnestMm)) / thick
    return [bone[0] + share * (bearing[0] - bone[0]), bone[1] + share * (bearing[1] - bone[1])]
  }
  return thickenedGrid(
    rows.length,
    columns.length,
    (r, c): Vec3 => [...outerAt(rows[r]!, columns[c]!), columns[c]! * narrowing(rows[r]!, s)],
    (r, c): Vec3 => [rows[r]![0], rows[r]![1], columns[c]! * narrowing(rows[r]!, s)],
  )
}

/** Tray and insert of a medial partial as one closed solid between the bone-side plane y = 0 and the bearing. */
export function partialTraySolid(s: PartialTibialSize, insertMm: number): Mesh {
  const rows = lobeStations(s)
  const outline = partialTrayOutline(s)
  const at = (r: number, c: number, y: (z: number, x: number) => number): Vec3 => {
    const z = rows[r]!
    const x = outline(z) * (c / halfColumns - 1)
    return [x, y(z, x), z]
  }
  const top = (z: number, x: number) => s.trayMm + partialBearingHeight(s, insertMm, z, x)
  return thickenedGrid(
    rows.length,
    2 * halfColumns + 1,
    (r, c) => at(r, c, top),
    (r, c) => at(r, c, () => 0),
  )
}

/** Height of the bearing above the plate; lowest, `insertMm`, in the middle. */
export function partialBearingHeight(s: PartialTibialSize, insertMm: number, z: number, x: number): number {
  const aside = z + s.overallMlMm / 2
  const rise = (x * x) / (2 * s.insertSagittalRadiusMm) + (aside * aside) / (2 * s.insertCoronalRadiusMm)
  return insertMm + s.lipMm * Math.tanh(rise / s.lipMm)
}

/** Outline of the bone-side face as (anterior, lateral) points: straight laterally at z = 0, rounded medially. */
export function partialTrayPolygon(s: PartialTibialSize): (readonly [number, number])[] {
  const rows = lobeStations(s)
  const outline = partialTrayOutline(s)
  const inside = rows.slice(1)
  return [
    [0, rows[0]!],
    ...inside.map((z): readonly [number, number] => [outline(z), z]),
    ...inside.reverse().map((z): readonly [number, number] => [-outline(z), z]),
  ]
}

/** Half the antero-posterior length at z (−width … 0). */
const partialTrayOutline =
  (s: PartialTibialSize) =>
  (z: number): number =>
    (s.overallApMm / 2) * Math.max(0, 1 - Math.abs(z / s.overallMlMm) ** roundness) ** (1 / roundness)

/** From the medial tip to the lateral edge, denser at the tip, the middle included. */
function lobeStations(s: PartialTibialSize): number[] {
  const z = Array.from({ length: 25 }, (_, i) => -s.overallMlMm * Math.cos((Math.PI / 2) * (i / 24)))
  const middle = -s.overallMlMm / 2
  const nearest = z.reduce((best, v, i) => (Math.abs(v - middle) < Math.abs(z[best]! - middle) ? i : best), 0)
  z[nearest] = middle
  z[24] = 0
  return z
}

/** The front tip and the posterior end are narrower than the middle. */
function narrowing(p: SagittalPoint, s: PartialFemoralSize): number {
  const forward = Math.max(0, (p[0] - 0.55 * s.distalLengthMm) / (0.45 * s.distalLengthMm))
  return 1 - 0.45 * forward * forward
}

const halfColumns = 12
const thinnestMm = 2
const roundness = 2.3
