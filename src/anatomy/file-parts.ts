import { makeBone } from '../geometry/bone.ts'
import { eigenSymmetric3, scatter } from '../geometry/fit.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { keepPiece, piecesByArea } from '../geometry/repair.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { type BoneGuess, guessBone } from './guess-bone.ts'
import { recogniseWhole } from './recognise.ts'

/** One of several bones' parts that lie in one file. */
export interface FilePart {
  /** As `keep-piece` counts: 0 has the largest area. */
  readonly rank: number
  readonly guess: BoneGuess
}

/** A piece of less than this share of the largest piece's area is no part of a scan, but an island. */
const leastShare = 0.08
const leastTriangles = 40
const mostParts = 12

/**
 * The slabs of a scan that lie in one file (mm): each large piece with what it shows. None where the file shows one whole bone, or
 * where its pieces do not show two different parts of a leg.
 */
export function fileParts(mesh: Mesh): readonly FilePart[] {
  const { order } = piecesByArea(mesh)
  const large = order.filter((p) => p.areaMm2 >= leastShare * order[0]!.areaMm2 && p.triangles >= leastTriangles)
  if (large.length < 2 || large.length > mostParts || recogniseWhole(mesh).bone !== 'unknown') return []
  const parts = large.flatMap((_, rank): FilePart[] => {
    const bone = makeBone(keepPiece(mesh, rank))
    return bone.ok ? [{ rank, guess: guessBone(bone.value) }] : []
  })
  const told = parts.filter(({ guess }) => guess.bone !== 'unknown' || guess.companion !== null)
  // The inner and the outer surface of one bone are two pieces of one kind.
  const kinds = new Set(told.map(({ guess }) => guess.companion ?? guess.bone))
  return kinds.size < 2 ? [] : told
}

const bins = 64

/** Whether there is nothing of a surface in some stretch of its own long direction: slabs of a scan, seen without looking at edges. */
export function hasGap({ positions: p, triangles }: Mesh): boolean {
  const n = p.length / 3
  const stride = Math.max(1, Math.floor(n / 2000))
  const sample: Vec3[] = []
  for (let i = 0; i < n; i += stride) sample.push([p[3 * i]!, p[3 * i + 1]!, p[3 * i + 2]!])
  if (sample.length < 100) return false
  const { vectors } = eigenSymmetric3(scatter(sample).covariance)
  const d = vectors[2]
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (let i = 0; i < p.length; i += 3) {
    const t = p[i]! * d[0] + p[i + 1]! * d[1] + p[i + 2]! * d[2]
    if (t < low) low = t
    if (t > high) high = t
  }
  const binOf = new Uint8Array(n)
  for (let v = 0; v < n; v++) {
    const t = p[3 * v]! * d[0] + p[3 * v + 1]! * d[1] + p[3 * v + 2]! * d[2]
    binOf[v] = Math.min(bins - 1, Math.floor((bins * (t - low)) / (high - low)))
  }
  // A long triangle fills every stretch that it crosses.
  const filled = new Uint8Array(bins)
  for (let k = 0; k < triangles.length; k += 3) {
    const a = binOf[triangles[k]!]!
    const b = binOf[triangles[k + 1]!]!
    const c = binOf[triangles[k + 2]!]!
    if (a === b && b === c) filled[a] = 1
    else filled.fill(1, Math.min(a, b, c), Math.max(a, b, c) + 1)
  }
  return filled.includes(0)
}
