import { noisy } from '../../demo-models/variants.ts'
import { ldfaDeg, mptaDeg, slopeDeg } from '../../src/anatomy/angles.ts'
import type { FemurAnatomy, LandmarkId, TibiaAnatomy } from '../../src/anatomy/terms.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { distance } from '../../src/geometry/vec.ts'
import { femurOf, tibiaOf } from './bones.ts'
import { inTriangles, rattled, subdivided } from './remeshed.ts'

/** The same donor's bone, processed differently: each of the ways, with its name. */
export function remeshings(mesh: Mesh, seeds: readonly number[]): readonly (readonly [string, Mesh])[] {
  const whole = mesh.triangles.length / 3
  const fewer = [2, 4].map((k) => Math.max(3000, Math.round(whole / k))).filter((n) => n < 0.95 * whole)
  return [
    ...[...new Set(fewer)].map((n) => [`${n} triangles`, inTriangles(mesh, n)] as const),
    ['subdivided', subdivided(mesh)],
    ...seeds.map((seed) => [`0.3 mm noise ${seed}`, noisy(mesh, 0.3, seed)] as const),
    ...seeds.map((seed) => [`0.3 mm on every coordinate ${seed}`, rattled(mesh, 0.3, seed)] as const),
  ]
}

export interface Moves {
  readonly sameSide: boolean
  readonly anglesDeg: Readonly<Record<string, number>>
  readonly pointsMm: Readonly<Partial<Record<LandmarkId, number>>>
}

/** How far angles and points of a femur move from one surface of it to another. */
export function femurMoves(from: Mesh, to: Mesh): Moves {
  const a = femurOf(from)
  const b = femurOf(to)
  const ldfa = (f: FemurAnatomy) =>
    ldfaDeg(f.frame, f.landmarks.condyleDistalMedial!.mm, f.landmarks.condyleDistalLateral!.mm, f.side)
  return { ...pointMoves(a, b), anglesDeg: { ldfa: Math.abs(ldfa(a) - ldfa(b)) } }
}

/** The same for a tibia. */
export function tibiaMoves(from: Mesh, to: Mesh): Moves {
  const a = tibiaOf(from)
  const b = tibiaOf(to)
  const angles = (t: TibiaAnatomy) => ({
    mpta: mptaDeg(t.frame, t.medial, t.lateral, t.side),
    slopeMedial: slopeDeg(t.frame, t.medial.normal, t.frame.y),
    slopeLateral: slopeDeg(t.frame, t.lateral.normal, t.frame.y),
  })
  const [before, after] = [angles(a), angles(b)]
  const keys = ['mpta', 'slopeMedial', 'slopeLateral'] as const
  return {
    ...pointMoves(a, b),
    anglesDeg: Object.fromEntries(keys.map((key) => [key, Math.abs(before[key] - after[key])])),
  }
}

function pointMoves(a: FemurAnatomy | TibiaAnatomy, b: FemurAnatomy | TibiaAnatomy): Omit<Moves, 'anglesDeg'> {
  const ids = Object.keys(a.landmarks) as LandmarkId[]
  return {
    sameSide: a.side === b.side,
    pointsMm: Object.fromEntries(ids.map((id) => [id, distance(a.landmarks[id]!.mm, b.landmarks[id]!.mm)])),
  }
}
