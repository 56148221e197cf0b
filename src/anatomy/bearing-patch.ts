import { eigenSymmetric3 } from '../geometry/fit.ts'
import { cross, dot, unit, type Vec3 } from '../geometry/vec.ts'
import { type HeightField, heightAt } from './height-field.ts'

/** A nearly flat load-bearing patch of a joint surface, in the coordinates of its height field, mm. */
export interface BearingPatch {
  /** Area centroid dropped along Y on the surface. */
  readonly point: Vec3
  /** Unit normal of the fitted plane, its y positive. */
  readonly normal: Vec3
  readonly areaMm2: number
  readonly rmsMm: number
  /** Deepest point of the patch below its plane's level, on the surface. */
  readonly deepest: Vec3
}

const withinDeg = 25
const startWithinDeg = 25

/**
 * The load-bearing patch within z bounds of a height field (definition in DEVELOPERS.md): surface within 25° of the
 * patch plane's normal, the largest connected part, the plane refitted by area until it stays. Nodes that the edge of
 * the patch crosses count by their covered share. Null when no surface faces that way.
 */
export function bearingPatch(field: HeightField, z: readonly [number, number]): BearingPatch | null {
  const nodes = nodesWithin(field, z)
  let normal = meanNormal(field, nodes)
  if (normal === null) return null
  let patch: Weighed | null = null
  for (let round = 0; round < 100; round++) {
    patch = weigh(field, membersOf(field, nodes, normal), normal)
    if (patch === null) return null
    const turned = Math.hypot(...cross(patch.normal, normal))
    normal = patch.normal
    if (turned < 1e-12) break
  }
  if (patch === null) return null
  const [x, y, zc] = patch.centroid
  const { deepest, ...rest } = patch
  return {
    point: [x, heightAt(field, x, zc) ?? y, zc],
    normal: rest.normal,
    areaMm2: rest.area,
    rmsMm: rest.rms,
    deepest,
  }
}

/** Numbers of the nodes within the z bounds where a surface with a slope is seen. */
function nodesWithin(field: HeightField, z: readonly [number, number]): number[] {
  const out: number[] = []
  for (let j = 0; j < field.nz; j++) {
    const zc = field.lowZ + j * field.stepMm
    if (zc < z[0] || zc > z[1]) continue
    for (let at = j * field.nx; at < (j + 1) * field.nx; at++) if (!Number.isNaN(field.slopeX[at]!)) out.push(at)
  }
  return out
}

/** Cosine between the surface at a node and a unit normal. */
function facing(field: HeightField, at: number, n: Vec3): number {
  const a = field.slopeX[at]!
  const b = field.slopeZ[at]!
  return (n[1] - a * n[0] - b * n[2]) / Math.sqrt(1 + a * a + b * b)
}

function meanNormal(field: HeightField, nodes: readonly number[]): Vec3 | null {
  const limit = Math.cos((startWithinDeg * Math.PI) / 180)
  let sx = 0
  let sy = 0
  let sz = 0
  for (const at of nodes) {
    const a = field.slopeX[at]!
    const b = field.slopeZ[at]!
    if (1 / Math.sqrt(1 + a * a + b * b) <= limit) continue
    // Unit normal times area: (−a, 1, −b) per node.
    sx -= a
    sy += 1
    sz -= b
  }
  return sy > 0 ? unit([sx, sy, sz]) : null
}

interface Member {
  readonly at: number
  readonly share: number
}

/** Nodes of the largest connected part within the angle, those at its edge with their covered share. */
function membersOf(field: HeightField, nodes: readonly number[], normal: Vec3): Member[] {
  const limit = Math.cos((withinDeg * Math.PI) / 180)
  const q = new Float64Array(field.height.length).fill(Number.NaN)
  for (const at of nodes) q[at] = facing(field, at, normal) - limit
  const seen = new Uint8Array(q.length)
  const out: Member[] = []
  for (const at of largestPart(field, nodes, q))
    for (const n of [at, at - 1, at + 1, at - field.nx, at + field.nx]) {
      if (n < 0 || n >= q.length || seen[n] === 1 || Number.isNaN(q[n]!)) continue
      seen[n] = 1
      const share = coveredShare(q, field.nx, n)
      if (share > 0) out.push({ at: n, share })
    }
  return out
}

/** Share of a node's cell on the inner side of q = 0, for a straight edge across it. */
function coveredShare(q: Float64Array, nx: number, at: number): number {
  const or = (n: number) => (n >= 0 && n < q.length && !Number.isNaN(q[n]!) ? q[n]! : q[at]!)
  const perCell = Math.hypot((or(at + 1) - or(at - 1)) / 2, (or(at + nx) - or(at - nx)) / 2)
  if (perCell < 1e-12) return q[at]! >= 0 ? 1 : 0
  return Math.min(1, Math.max(0, 0.5 + q[at]! / perCell))
}

function largestPart(field: HeightField, nodes: readonly number[], q: Float64Array): number[] {
  const mark = new Uint8Array(q.length)
  let best: number[] = []
  for (const seed of nodes) {
    if (mark[seed] === 1 || !(q[seed]! >= 0)) continue
    const part = [seed]
    mark[seed] = 1
    for (let head = 0; head < part.length; head++) {
      const at = part[head]!
      const i = at % field.nx
      for (const n of [i > 0 ? at - 1 : -1, i < field.nx - 1 ? at + 1 : -1, at - field.nx, at + field.nx]) {
        if (n < 0 || n >= q.length || mark[n] === 1 || !(q[n]! >= 0)) continue
        mark[n] = 1
        part.push(n)
      }
    }
    if (part.length > best.length) best = part
  }
  return best
}

interface Weighed {
  readonly centroid: Vec3
  readonly normal: Vec3
  readonly area: number
  readonly rms: number
  readonly deepest: Vec3
}

function weigh(field: HeightField, members: readonly Member[], towards: Vec3): Weighed | null {
  if (members.length < 12) return null
  const step2 = field.stepMm * field.stepMm
  const at = (m: Member): Vec3 => [
    field.lowX + (m.at % field.nx) * field.stepMm,
    field.height[m.at]!,
    field.lowZ + Math.floor(m.at / field.nx) * field.stepMm,
  ]
  const weight = (m: Member) => m.share * step2 * Math.hypot(1, field.slopeX[m.at]!, field.slopeZ[m.at]!)
  let area = 0
  let cx = 0
  let cy = 0
  let cz = 0
  for (const m of members) {
    const w = weight(m)
    const p = at(m)
    area += w
    cx += w * p[0]
    cy += w * p[1]
    cz += w * p[2]
  }
  if (!(area > 0)) return null
  const c: Vec3 = [cx / area, cy / area, cz / area]
  const s = [0, 0, 0, 0, 0, 0]
  for (const m of members) {
    const w = weight(m) / area
    const p = at(m)
    const dx = p[0] - c[0]
    const dy = p[1] - c[1]
    const dz = p[2] - c[2]
    s[0]! += w * dx * dx
    s[1]! += w * dx * dy
    s[2]! += w * dx * dz
    s[3]! += w * dy * dy
    s[4]! += w * dy * dz
    s[5]! += w * dz * dz
  }
  const { values, vectors } = eigenSymmetric3({ xx: s[0]!, xy: s[1]!, xz: s[2]!, yy: s[3]!, yz: s[4]!, zz: s[5]! })
  if (!(values[1] > 1e-9 * values[2])) return null
  const normal: Vec3 = dot(vectors[0], towards) >= 0 ? vectors[0] : [-vectors[0][0], -vectors[0][1], -vectors[0][2]]
  let deepest = c
  let depth = Number.POSITIVE_INFINITY
  for (const m of members) {
    if (m.share < 1) continue
    const p = at(m)
    const level = p[0] * normal[0] + p[1] * normal[1] + p[2] * normal[2]
    if (level < depth) {
      depth = level
      deepest = p
    }
  }
  return { centroid: c, normal, area, rms: Math.sqrt(Math.max(values[0], 0)), deepest }
}
