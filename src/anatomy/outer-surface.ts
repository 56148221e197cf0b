import { type BoneMesh, makeBone } from '../geometry/bone.ts'
import { piecesByCorners } from '../geometry/pieces.ts'
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
  const { pieceOf, pieces } = piecesByCorners(bone.mesh)
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
