import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { FemoralSize } from './family.ts'
import { femoralProfile, type SagittalPoint } from './sagittal-profile.ts'
import { stationsAlong } from './stations.ts'
import { thickenedGrid } from './thickened-grid.ts'

/**
 * The femoral component as a closed solid in its own frame (right-leg form, mm): condyles with the coronal radius about
 * two crests, a shallow groove between them that runs up the flange, and an open notch behind.
 */
export function femoralSolid(size: FemoralSize): Mesh {
  const known = solids.get(size)
  if (known) return known
  const solid = buildFemoralSolid(size)
  solids.set(size, solid)
  return solid
}

const solids = new WeakMap<FemoralSize, Mesh>()

function buildFemoralSolid(s: FemoralSize): Mesh {
  const profile = femoralProfile(s)
  const half = s.overallMlMm / 2
  const crest = s.crestSpacingMm / 2
  const notch = s.notchWidthMm / 2
  const notchFront = profile.hub[0] + 0.1 * s.overallApMm
  const rows = stationsAlong(profile.bone, [
    [0, profile.hub[1]],
    [profile.hub[0], 0],
    [notchFront, 0],
  ])
  const columns = stationsAcross(half, crest, notch)
  const narrowing = (p: SagittalPoint) => (isFlange(p, s) ? 1 - (s.flangeTaper * p[1]) / s.flangeHeightMm : 1)
  const across = (r: number, c: number) => columns[c]! * narrowing(rows[r]!)

  return thickenedGrid(
    rows.length,
    columns.length,
    (r, c): Vec3 => {
      const bone = rows[r]!
      const bearing = profile.bearing(bone)
      const thick = Math.hypot(bearing[0] - bone[0], bearing[1] - bone[1])
      const drop = coronalDrop(Math.abs(columns[c]!), crest, s.coronalRadiusMm) + flangeThinning(bone, s)
      // The groove runs out where the component would get thinner than 3 mm.
      const share = Math.max(thick - drop, Math.min(thick, 3)) / thick
      return [bone[0] + share * (bearing[0] - bone[0]), bone[1] + share * (bearing[1] - bone[1]), across(r, c)]
    },
    (r, c): Vec3 => [rows[r]![0], rows[r]![1], across(r, c)],
    (r, c) => {
      const behindNotchFront = rows[r + 1]![0] <= notchFront + 1e-9
      const between = Math.abs(columns[c]!) <= notch + 1e-9 && Math.abs(columns[c + 1]!) <= notch + 1e-9
      return !(behindNotchFront && between)
    },
  )
}

/** How far the bearing falls away from the crest towards edge (circle) and groove (cosine with the same curvature). */
function coronalDrop(z: number, crest: number, radius: number): number {
  if (z >= crest) return radius - Math.sqrt(radius * radius - (z - crest) ** 2)
  const depth = (2 * crest * crest) / (Math.PI * Math.PI * radius)
  return (depth * (1 + Math.cos((Math.PI * z) / crest))) / 2
}

const isFlange = (p: SagittalPoint, s: FemoralSize) => p[0] > s.overallApMm / 2 && p[1] > 0

/** The flange thins out over its proximal half. */
function flangeThinning(p: SagittalPoint, s: FemoralSize): number {
  if (!isFlange(p, s)) return 0
  const over = Math.max(0, p[1] / s.flangeHeightMm - 0.5) / 0.5
  return 1.5 * over * over
}

/** Positions across the component, crests and notch edges included, symmetric, no step wider than 1.5 mm. */
function stationsAcross(half: number, crest: number, notch: number): number[] {
  const marks = [0, notch, crest, half]
  const right: number[] = []
  for (let k = 1; k < marks.length; k++) {
    const from = marks[k - 1]!
    const n = Math.ceil((marks[k]! - from) / 1.5)
    for (let j = 1; j <= n; j++) right.push(from + ((marks[k]! - from) * j) / n)
  }
  return [...right.map((z) => -z).reverse(), 0, ...right]
}
