import { type BoneMesh, makeBone } from '../geometry/bone.ts'
import { meanEdgeMm } from '../geometry/mean-edge.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { fillHoles } from '../geometry/repair/fill-holes.ts'
import { writeAreaNormal } from '../geometry/triangle.ts'
import { outerSurface } from './outer-surface.ts'
import { ramp } from './ramp.ts'

/** Holes with a border up to this long are bridged before anything is looked for, mm. */
const bridgedBorderMm = 200
/** Above this share of the mean edge the vertices' noise hides the surface's normals. */
const roughShare = 0.045
/** Longer edges bridge the noise themselves, mm. */
const longestSmoothedMm = 3

/** How far around a feature must be looked at on a surface of this noise, mm; long edges widen it further on the spot. */
export interface Grain {
  /** Neighbourhood that decides where a contact, a tip of a condyle or the notch saddle lies. */
  readonly contactMm: number
  /** Neighbourhood that decides where a tip of the eminence lies. */
  readonly tipMm: number
  /** Neighbourhood of a slope. */
  readonly slopeMm: number
  /** Neighbourhood that decides the height of a point dropped on a plateau. */
  readonly dropMm: number
}

const noisy: Grain = { contactMm: 6, tipMm: 4, slopeMm: 2, dropMm: 14 }

/** Clean up to a noise of 0.07 mm, from 0.15 mm as wide as a neighbourhood may be where nothing can be smoothed. */
function between(share: number): Grain {
  const mix = (from: number, to: number) => from + share * (to - from)
  return { contactMm: 4, tipMm: mix(2.5, 5), slopeMm: mix(1, 2.5), dropMm: mix(4, 10) }
}

/** How much a surface of this mean edge counts as coarse: 0 up to 1.5 mm, 1 from 4.5 mm. */
export const coarseness = (meanEdgeMm: number): number => ramp(meanEdgeMm, 1.5, 4.5)

export interface CalmBone {
  readonly bone: BoneMesh
  readonly grain: Grain
  /** Noise of the surface along its normal, SD, mm. */
  readonly noiseMm: number
}

/**
 * The bone as the finders look at it: its outer surface alone, small holes bridged, and where noise hides the surface's normals, smoothed without
 * shrinking. A clean closed bone is returned as it is. Landmarks found on the calm surface lie within the noise of the
 * real one.
 */
export function calmBone(whole: BoneMesh): CalmBone {
  const { bone } = outerSurface(whole)
  const bridged = bone.closed ? bone.mesh : fillHoles(bone.mesh, 0, bridgedBorderMm)
  const edgeMm = meanEdgeMm(bridged)
  const noiseMm = surfaceNoise(bridged)
  const rough = edgeMm < longestSmoothedMm && noiseMm > roughShare * edgeMm
  const grain = rough ? noisy : between(ramp(noiseMm, 0.07, 0.15))
  if (!rough && bridged === bone.mesh) return { bone, grain, noiseMm }
  const calm = makeBone(rough ? smoothed(bridged, roundsFor(edgeMm)) : bridged)
  return { bone: calm.ok ? calm.value : bone, grain, noiseMm }
}

/** Neighbours of every vertex: those of vertex v are `of[start[v]]` up to `of[start[v + 1]]`. */
interface Ring {
  readonly start: Uint32Array
  readonly of: Uint32Array
}

/** Each neighbour once per shared triangle; `once`: once on a closed surface, and at a border one is left out. */
function ringOf({ positions, triangles }: Mesh, once = false): Ring {
  const n = positions.length / 3
  const start = new Uint32Array(n + 1)
  for (let k = 0; k < triangles.length; k++) start[triangles[k]! + 1]! += once ? 1 : 2
  for (let v = 0; v < n; v++) start[v + 1]! += start[v]!
  const at = start.slice(0, n)
  const of = new Uint32Array(start[n]!)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]!
    const b = triangles[t + 1]!
    const c = triangles[t + 2]!
    of[at[a]!++] = b
    of[at[b]!++] = c
    of[at[c]!++] = a
    if (once) continue
    of[at[a]!++] = c
    of[at[b]!++] = a
    of[at[c]!++] = b
  }
  return { start, of }
}

/** Each vertex's mean neighbour less itself. */
function umbrella(values: Float64Array, { start, of }: Ring): Float64Array {
  const out = new Float64Array(values.length)
  for (let v = 0; v + 1 < start.length; v++) {
    const count = start[v + 1]! - start[v]!
    if (count === 0) continue
    let x = 0
    let y = 0
    let z = 0
    for (let k = start[v]!; k < start[v + 1]!; k++) {
      const w = 3 * of[k]!
      x += values[w]!
      y += values[w + 1]!
      z += values[w + 2]!
    }
    out[3 * v] = x / count - values[3 * v]!
    out[3 * v + 1] = y / count - values[3 * v + 1]!
    out[3 * v + 2] = z / count - values[3 * v + 2]!
  }
  return out
}

/**
 * Standard deviation of the vertices' noise along the normal, mm: the median of the second difference of the surface,
 * which is nearly nothing on a smooth one however curved.
 */
function surfaceNoise(mesh: Mesh): number {
  const ring = ringOf(mesh, true)
  const second = umbrella(umbrella(mesh.positions, ring), ring)
  const normals = wideNormals(mesh, ring)
  const sizes = new Float64Array(mesh.positions.length / 3)
  for (let v = 0; v < sizes.length; v++)
    sizes[v] = Math.abs(
      second[3 * v]! * normals[3 * v]! +
        second[3 * v + 1]! * normals[3 * v + 1]! +
        second[3 * v + 2]! * normals[3 * v + 2]!,
    )
  return upperMedian(sizes) * noisePerMedian
}

/** The value that would stand in the middle if all were sorted; reorders them. 0 where there are none. (Hoare, Commun ACM 1961.) */
function upperMedian(values: Float64Array): number {
  const middle = values.length >> 1
  let low = 0
  let high = values.length - 1
  while (low < high) {
    const pivot = values[(low + high) >> 1]!
    let i = low
    let j = high
    while (i <= j) {
      while (values[i]! < pivot) i++
      while (values[j]! > pivot) j--
      if (i > j) break
      const held = values[i]!
      values[i++] = values[j]!
      values[j--] = held
    }
    if (middle <= j) high = j
    else if (middle >= i) low = i
    else break
  }
  return values[middle] ?? 0
}

/** From the median size of the second difference of white noise on a regular mesh to its standard deviation. */
const noisePerMedian = 1.1

/** Unit normals averaged over two rings, so that noise tilts them little. */
function wideNormals({ positions: p, triangles }: Mesh, ring: Ring): Float64Array {
  const sum = new Float64Array(p.length)
  const normal = new Float64Array(3)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]!
    const b = 3 * triangles[t + 1]!
    const c = 3 * triangles[t + 2]!
    writeAreaNormal(p, a, b, c, normal)
    for (let k = 0; k < 3; k++) {
      sum[a + k]! += normal[k]!
      sum[b + k]! += normal[k]!
      sum[c + k]! += normal[k]!
    }
  }
  const mean = umbrella(sum, ring)
  for (let i = 0; i < p.length; i += 3) {
    const x = sum[i]! + mean[i]! / 2
    const y = sum[i + 1]! + mean[i + 1]! / 2
    const z = sum[i + 2]! + mean[i + 2]! / 2
    const l = Math.sqrt(x * x + y * y + z * z) || 1
    sum[i] = x / l
    sum[i + 1] = y / l
    sum[i + 2] = z / l
  }
  return sum
}

/** Rounds that quieten some 4 mm of surface, whatever the mesh's edge. */
const roundsFor = (edgeMm: number): number => Math.max(4, Math.min(60, Math.round(20 / (edgeMm * edgeMm))))

/** Smoothing that keeps the volume: a step inward and a slightly larger one outward (Taubin, SIGGRAPH 1995). */
function smoothed(mesh: Mesh, rounds: number): Mesh {
  const ring = ringOf(mesh)
  const positions = mesh.positions.slice()
  for (let round = 0; round < rounds; round++)
    for (const step of [0.5, -0.53]) {
      const difference = umbrella(positions, ring)
      for (let i = 0; i < positions.length; i++) positions[i]! += step * difference[i]!
    }
  return { positions, triangles: mesh.triangles }
}
