import type { BoneMesh } from './bone.ts'
import { type MeshTree, type PlainTree, plainTree, withFlux } from './tree.ts'

/** A bone in plain data, as one thread can hand it to another. */
export interface SentBone extends Omit<BoneMesh, 'tree' | 'missing'> {
  readonly tree: PlainTree
  readonly hulls: readonly PlainTree[] | null
}

/** The bone without what is made when it is asked for. */
export function sentBone({ tree, missing, ...rest }: BoneMesh): SentBone {
  return { ...rest, tree: plainTree(tree), hulls: missing?.hulls.map(plainTree) ?? null }
}

/** The bone that was sent; `mesh` and `tree.mesh` are one again. */
export function receivedBone({ tree, hulls, ...rest }: SentBone): BoneMesh {
  const whole: MeshTree = withFlux(tree)
  return { ...rest, mesh: whole.mesh, tree: whole, missing: hulls && { hulls: hulls.map(withFlux) } }
}
