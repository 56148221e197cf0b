import { type BoneMesh, makeBone } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { keepTriangles } from '../geometry/repair/keep-triangles.ts'
import { enclosingShells, measureShells } from '../geometry/shells.ts'

/** A bone's outer surface, and what was left out of it. */
export interface OuterSurface {
  readonly bone: BoneMesh
  /** Small pieces beside, on or in the bone. */
  readonly islands: number
  /** Larger pieces that lie within the largest, as the wall of the marrow's canal does. */
  readonly inner: number
}

/** A piece below this share of the largest one's area is an island; all of them together may have no more than `mostLoose`. */
const islandShare = 0.02
const mostLoose = 0.06

/**
 * The surface that landmarks are looked for on: without islands (speckles of a segmentation), and without pieces inside the largest one. The
 * bone itself where there is nothing of the kind, or where it is a heap of small pieces. Remembered per bone.
 */
export function outerSurface(bone: BoneMesh): OuterSurface {
  const known = answers.get(bone)
  if (known) return known
  const made = withoutLoose(bone)
  answers.set(bone, made)
  return made
}

const answers = new WeakMap<BoneMesh, OuterSurface>()

function withoutLoose(bone: BoneMesh): OuterSurface {
  const whole = { bone, islands: 0, inner: 0 }
  const { pieceOf, pieces } = piecesOf(bone.mesh)
  if (pieces < 2) return whole
  const shells = measureShells(bone.mesh, pieceOf, pieces)
  const main = shells.reduce((best, shell, i) => (shell.areaMm2 > shells[best]!.areaMm2 ? i : best), 0)
  const mainMm2 = shells[main]!.areaMm2
  const isIsland = shells.map(({ areaMm2 }, i) => i !== main && areaMm2 < islandShare * mainMm2)
  const looseMm2 = shells.reduce((sum, { areaMm2 }, i) => sum + (isIsland[i] ? areaMm2 : 0), 0)
  if (looseMm2 > mostLoose * mainMm2) return whole
  const isInner = shells.map(
    (_, i) =>
      i !== main && !isIsland[i] && enclosingShells(bone.mesh, pieceOf, shells, i, (around) => around === main) > 0,
  )
  const count = (flags: readonly boolean[]) => flags.filter(Boolean).length
  if (count(isIsland) + count(isInner) === 0) return whole
  const outer = makeBone(keepTriangles(bone.mesh, (t) => !isIsland[pieceOf[t]!] && !isInner[pieceOf[t]!]))
  return outer.ok ? { bone: outer.value, islands: count(isIsland), inner: count(isInner) } : whole
}

/** Pieces that share no corner: the number of each triangle's (none where all is one piece). */
function piecesOf({ positions, triangles }: Mesh): { readonly pieceOf: Uint32Array; readonly pieces: number } {
  const parent = new Uint32Array(positions.length / 3)
  for (let v = 0; v < parent.length; v++) parent[v] = v
  const root = (v: number): number => {
    let at = v
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!
      at = parent[at]!
    }
    return at
  }
  for (let t = 0; t < triangles.length; t += 3) {
    const a = root(triangles[t]!)
    const b = root(triangles[t + 1]!)
    const c = root(triangles[t + 2]!)
    const least = Math.min(a, b, c)
    parent[a] = least
    parent[b] = least
    parent[c] = least
  }
  const first = triangles.length > 0 ? root(triangles[0]!) : 0
  let one = true
  for (let v = 0; one && v < parent.length; v++) one = root(v) === first
  if (one) return { pieceOf: new Uint32Array(0), pieces: 1 }
  const numberOf = new Map<number, number>()
  const pieceOf = new Uint32Array(triangles.length / 3)
  let last = -1
  let piece = 0
  for (let t = 0; t < pieceOf.length; t++) {
    const at = root(triangles[3 * t]!)
    if (at !== last) {
      piece = numberOf.get(at) ?? numberOf.size
      numberOf.set(at, piece)
      last = at
    }
    pieceOf[t] = piece
  }
  return { pieceOf, pieces: numberOf.size }
}
