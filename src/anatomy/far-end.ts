import type { BoneMesh } from '../geometry/bone.ts'
import { addScaled, scale } from '../geometry/vec.ts'
import type { CutFace } from './cut-face.ts'
import { type Slice, slicesAlong, surfaceMoments } from './profile.ts'
import { reach } from './reach.ts'

/**
 * Where the shaft of a long bone without a cut face is taken to end: on its longest axis, as far from the wider (knee's) end as its sections
 * stay about as narrow as the narrowest (mm, patient frame). For femora whose head is broken off or meshed in part, and scans with an end too
 * ragged to have a plane. Null where the surface is not `longFrom` times longer
 * than its wider end is wide.
 */
export function farEnd({ mesh }: BoneMesh, longFrom: number): CutFace | null {
  const { areaMm2, centroid, axes } = surfaceMoments(mesh)
  if (!(areaMm2 > 0)) return null
  const high = reach(mesh, centroid, axes[0])
  const low = -reach(mesh, centroid, scale(axes[0], -1))
  const length = high - low
  const levels = Array.from({ length: 40 }, (_, i) => low + (length * (i + 0.5)) / 40)
  const slices = slicesAlong(mesh, centroid, axes[0], levels).filter(({ outlineMm }) => outlineMm > 0)
  const widest = (part: readonly Slice[]) => Math.max(0, ...part.map(radius))
  const [below, above] = [widest(slices.slice(0, 10)), widest(slices.slice(-10))]
  if (!(length > longFrom * 2 * Math.max(below, above))) return null
  // From the knee's end on; the narrowest of its far side.
  const outwards = below >= above ? slices : [...slices].reverse()
  const far = outwards.slice(Math.floor(outwards.length * 0.4), -1)
  const least = Math.min(...far.map(radius))
  const end = far.filter((slice) => radius(slice) <= stillShaft * least).at(-1)
  if (end === undefined) return null
  return {
    point: addScaled(centroid, axes[0], end.at),
    normal: below >= above ? axes[0] : scale(axes[0], -1),
    areaMm2: Math.PI * end.wideMm * end.narrowMm,
    raggedMm: 0,
  }
}

/** Sections up to so many times the narrowest are shaft. */
const stillShaft = 1.2

const radius = ({ wideMm, narrowMm }: Slice): number => Math.sqrt(wideMm * narrowMm)
