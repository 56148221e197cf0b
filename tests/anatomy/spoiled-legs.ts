import type { Leg } from '../../demo-models/leg.ts'
import { cellKey, decimated, noisy } from '../../demo-models/variants.ts'
import { findFemur } from '../../src/anatomy/find-femur.ts'
import { findTibia } from '../../src/anatomy/find-tibia.ts'
import { measureAngles } from '../../src/anatomy/measure-angles.ts'
import { defaultReferences } from '../../src/anatomy/terms.ts'
import { area } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { distance, type Vec3 } from '../../src/geometry/vec.ts'
import { boneOf } from './bones.ts'

/** What is done to a leg before it is looked at. */
export const spoilers = ['clean', 'noise', 'decimation', 'holes'] as const
export type Spoiler = (typeof spoilers)[number]

/** 0.5 mm of surface noise; 5 % of the triangles, not below 3,000; or holes 6 mm wide over 20 % of the area, 5 mm clear of the truth. */
export function spoiled(mesh: Mesh, how: Spoiler, truth: readonly Vec3[], seed: number): Mesh {
  if (how === 'noise') return noisy(mesh, 0.5, seed)
  if (how === 'holes') return holed(mesh, truth, seed)
  if (how === 'clean') return mesh
  const wanted = Math.max(3000, mesh.triangles.length / 3 / 20)
  let low = 1
  let high = 9
  for (let k = 0; k < 12; k++) {
    const cell = (low + high) / 2
    if (decimated(mesh, cell).triangles.length / 3 > wanted) low = cell
    else high = cell
  }
  return decimated(mesh, low)
}

const holeRadiusMm = 3
const clearMm = 5

function holed(mesh: Mesh, truth: readonly Vec3[], seed: number): Mesh {
  const { positions: p, triangles } = mesh
  const random = seededRandom(seed)
  const wanted = (0.2 * area(mesh)) / (Math.PI * holeRadiusMm ** 2)
  const buckets = new Map<number, Vec3[]>()
  const bucket = (v: Vec3, dx = 0, dy = 0, dz = 0) => cellKey(v[0] / 6 + dx, v[1] / 6 + dy, v[2] / 6 + dz)
  for (let k = 0; k < wanted; ) {
    const v = 3 * Math.floor((random() * p.length) / 3)
    const centre: Vec3 = [p[v]!, p[v + 1]!, p[v + 2]!]
    if (truth.some((q) => distance(q, centre) < holeRadiusMm + clearMm)) continue
    const list = buckets.get(bucket(centre))
    if (list) list.push(centre)
    else buckets.set(bucket(centre), [centre])
    k++
  }
  const gone = new Uint8Array(p.length / 3)
  for (let v = 0; v < gone.length; v++) {
    const at: Vec3 = [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]
    for (let n = 0; n < 27; n++)
      if (
        buckets
          .get(bucket(at, (n % 3) - 1, (Math.floor(n / 3) % 3) - 1, Math.floor(n / 9) - 1))
          ?.some((c) => distance(c, at) < holeRadiusMm)
      )
        gone[v] = 1
  }
  const kept: number[] = []
  for (let t = 0; t < triangles.length; t += 3)
    if (!gone[triangles[t]!] && !gone[triangles[t + 1]!] && !gone[triangles[t + 2]!])
      kept.push(triangles[t]!, triangles[t + 1]!, triangles[t + 2]!)
  return { positions: p, triangles: Uint32Array.from(kept) }
}

/** How far what is found on a spoiled leg lies from the truth; null where it is withheld. */
export interface Misses {
  readonly side: boolean
  readonly hipMm: number
  readonly anglesDeg: Readonly<Record<string, number | null>>
  readonly pointsMm: Readonly<Record<string, number>>
  /** Confidence of each point, in the order of `pointsMm`. */
  readonly confidence: Readonly<Record<string, number>>
}

/** The angles the issue counts. */
const counted = [
  'hkaDeg',
  'ldfaDeg',
  'mptaDeg',
  'jlcaDeg',
  'arithmeticHkaDeg',
  'jointLineObliquityDeg',
  'slopeMedialDeg',
  'slopeLateralDeg',
] as const

export function missesOf(leg: Leg, how: Spoiler, seed: number): Misses {
  const { truth } = leg
  const femurTruth: Record<string, Vec3> = { ...truth.femur.landmarks }
  const tibiaTruth: Record<string, Vec3> = { ...truth.tibia.landmarks }
  const femur = findFemur(boneOf(spoiled(leg.femur, how, Object.values(femurTruth), 2 * seed)), {
    references: defaultReferences,
  })
  const tibia = findTibia(boneOf(spoiled(leg.tibia, how, Object.values(tibiaTruth), 2 * seed + 1)), {
    references: defaultReferences,
  })
  if (!femur.ok || !tibia.ok)
    return {
      side: true,
      hipMm: 0,
      anglesDeg: Object.fromEntries(counted.map((name) => [name, null])),
      pointsMm: {},
      confidence: {},
    }
  const { angles } = measureAngles(femur.value, tibia.value, { references: defaultReferences, frame: 'unknown' })
  const points: Record<string, number> = {}
  const confidence: Record<string, number> = {}
  for (const [found, true_] of [
    [femur.value.landmarks, femurTruth],
    [tibia.value.landmarks, tibiaTruth],
  ] as const)
    for (const [id, landmark] of Object.entries(found)) {
      const there = true_[id]
      if (!there || !landmark) continue
      points[id] = distance(landmark.mm, there)
      confidence[id] = landmark.confidence
    }
  return {
    side: femur.value.side === truth.side && tibia.value.side === truth.side,
    hipMm: points['hipCentre']!,
    anglesDeg: Object.fromEntries(
      counted.map((name) => [name, angles[name] === null ? null : Math.abs(angles[name] - truth.angles[name])]),
    ),
    pointsMm: points,
    confidence,
  }
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[sorted.length >> 1] ?? 0
}
