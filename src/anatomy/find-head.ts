import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { fitHeadSphere, type HeadSphere } from './head-sphere.ts'
import { type Patches, patchesOf } from './patches.ts'
import { sketchOf } from './sketch.ts'

/** Radii of adult femoral heads with a wide margin, mm (check values §10; common practice). */
const radiiMm = { least: 16, most: 34, step: 1.5 } as const
/** Share of the sphere that surface must cover; a condyle reaches 0.25, the ankle less. */
const leastCoverage = 0.36
/** What a head leaves over its sphere, as a share of the radius. */
const mostResidual = 0.04
/** Pieces of surface looked at, and those from which a centre is tried. */
const looked = 800
const tried = 160

/**
 * The sphere of a femoral head anywhere on a surface (mm, its own frame), told by shape alone: of all centres that lie a
 * head's radius behind some piece of surface the one about which most surface lies, then fitted. Null when no sphere of a
 * head's size is covered as far as a head covers it, or as told.
 */
export function findHead(mesh: Mesh, least = leastCoverage): HeadSphere | null {
  const all = patchesOf(sketchOf(mesh), 6)
  const start = bestStart(thinned(all, looked))
  const head = start && fitHeadSphere(mesh, start)
  if (!head) return null
  const fits = head.coverage > least && head.rmsMm < mostResidual * head.radiusMm
  return fits && head.radiusMm >= radiiMm.least && head.radiusMm <= radiiMm.most ? head : null
}

/** Every so many pieces, with areas that stand for those left out. */
function thinned({ count, centres, normals, areas }: Patches, most: number): Patches {
  const stride = Math.max(1, Math.ceil(count / most))
  const kept = Array.from({ length: Math.ceil(count / stride) }, (_, i) => i * stride)
  const three = (from: Float64Array) =>
    Float64Array.from(kept.flatMap((i) => [from[3 * i]!, from[3 * i + 1]!, from[3 * i + 2]!]))
  return {
    count: kept.length,
    centres: three(centres),
    normals: three(normals),
    areas: Float64Array.from(kept, (i) => areas[i]! * stride),
  }
}

function bestStart(patches: Patches): { readonly centre: Vec3; readonly radiusMm: number } | null {
  const { count, centres, normals } = patches
  const stride = Math.max(1, Math.floor(count / tried))
  let most = 0
  let best: { centre: Vec3; radiusMm: number } | null = null
  for (let i = 0; i < count; i += stride)
    for (let radius: number = radiiMm.least; radius <= radiiMm.most; radius += radiiMm.step)
      for (const sense of [-1, 1]) {
        const at = (k: number) => centres[3 * i + k]! + sense * radius * normals[3 * i + k]!
        const centre: Vec3 = [at(0), at(1), at(2)]
        const covered = coverage(patches, centre, radius)
        if (covered <= most) continue
        most = covered
        best = { centre, radiusMm: radius }
      }
  return best
}

/** Share of a sphere along which surface lies and faces. */
function coverage({ count, centres, normals, areas }: Patches, [x, y, z]: Vec3, radius: number): number {
  let sum = 0
  for (let i = 0; i < count; i++) {
    const dx = centres[3 * i]! - x
    const dy = centres[3 * i + 1]! - y
    const dz = centres[3 * i + 2]! - z
    const far = Math.sqrt(dx * dx + dy * dy + dz * dz)
    if (Math.abs(far - radius) > 0.1 * radius) continue
    const facing = Math.abs(dx * normals[3 * i]! + dy * normals[3 * i + 1]! + dz * normals[3 * i + 2]!)
    if (facing > 0.85 * far) sum += areas[i]!
  }
  return sum / (4 * Math.PI * radius * radius)
}
