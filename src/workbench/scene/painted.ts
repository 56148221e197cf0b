import type { PieceThickness } from '../../engine/contract.ts'
import type { DisplayMesh } from '../../engine/display-mesh.ts'
import { dot, sub, type Vec3 } from '../../geometry/vec.ts'
import { nowhere, type PressureMap } from '../../loading/pressure-map.ts'
import type { PlacedTray } from '../../planning/planned.ts'
import { divergingColour, type Rgb, sequentialColour } from '../charts/colour-map.ts'

/** Half the span of the thickness map, mm: beyond it the colour stays. */
export const thicknessSpanMm = 4

/** Colours for every corner of a mesh as drawn, as a graphics card wants them; null keeps `plain`. */
export function paintCorners(
  { positions, normals, origin }: DisplayMesh,
  plain: Rgb,
  colourAt: (point: Vec3, normal: Vec3) => Rgb | null,
): Float32Array {
  const out = new Float32Array(positions.length)
  for (let k = 0; k < positions.length; k += 3) {
    const point: Vec3 = [positions[k]! + origin[0], positions[k + 1]! + origin[1], positions[k + 2]! + origin[2]]
    const rgb = colourAt(point, [normals[k]!, normals[k + 1]!, normals[k + 2]!]) ?? plain
    for (let axis = 0; axis < 3; axis++) out[k + axis] = linear(rgb[axis]!)
  }
  return out
}

/** The encoding of IEC 61966-2-1 (sRGB) undone. */
const linear = (value: number): number => {
  const v = value / 255
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4
}

/** A piece's thickness against what its component needs, by the place over the cut; beside the map the nearest cell of it. */
export function thicknessColour(map: PieceThickness): (point: Vec3) => Rgb | null {
  return (point) => {
    const cell = cellAt(map, point)
    return cell === null || !map.differenceMm ? null : differenceColour(map.differenceMm[cell]!)
  }
}

/** The colour of taken less put back, mm. */
export const differenceColour = (differenceMm: number): Rgb => divergingColour(differenceMm / thicknessSpanMm)

/** The cell over which a point lies, or a neighbour of it where the map ends; null farther out. */
export function cellAt(map: PieceThickness, point: Vec3): number | null {
  const offset = sub(point, map.corner)
  const column = Math.floor(dot(offset, map.alongRow) / map.stepMm)
  const row = Math.floor(dot(offset, map.alongColumn) / map.stepMm)
  for (const [down, right] of around) {
    const [i, j] = [row + down, column + right]
    if (i < 0 || j < 0 || i >= map.rows || j >= map.columns) continue
    const cell = i * map.columns + j
    if (map.thicknessMm[cell]! >= 0) return cell
  }
  return null
}

const around = [-2, -1, 0, 1, 2]
  .flatMap((down) => [-2, -1, 0, 1, 2].map((right): readonly [number, number] => [down, right]))
  .sort((a, b) => Math.hypot(...a) - Math.hypot(...b))

/** Pressure on what of an insert faces upward; what carries nothing keeps its own colour. */
export function pressureColour(
  map: PressureMap,
  tray: Pick<PlacedTray, 'centre' | 'medial' | 'posterior' | 'normal'>,
  topMpa: number,
): (point: Vec3, normal: Vec3) => Rgb | null {
  return (point, facing) => {
    if (Math.abs(dot(facing, tray.normal)) < 0.3) return null
    const offset = sub(point, tray.centre)
    const column = Math.round((-dot(offset, tray.medial) - map.low[0]) / map.cellMm)
    const row = Math.round((-dot(offset, tray.posterior) - map.low[1]) / map.cellMm)
    if (column < 0 || row < 0 || column >= map.columns || row >= map.rows) return null
    const mpa = map.pressureMpa[row * map.columns + column]!
    return mpa === nowhere || mpa <= 0 ? null : sequentialColour(mpa / topMpa)
  }
}
