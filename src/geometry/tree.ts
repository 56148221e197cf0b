import { BufferAttribute, BufferGeometry } from 'three'
import { MeshBVH } from 'three-mesh-bvh'
import { type FluxTree, fluxTree, noFlux } from './flux-tree.ts'
import type { Mesh } from './mesh.ts'

/**
 * A bounding-volume tree over a mesh's triangles. Nodes stand in pre-order: the left child of node i is i + 1, and
 * `skip[i]` is the first node after i's subtree (so a node is a leaf when `skip[i] === i + 1`, and the right child of i
 * is `skip[i + 1]`). The triangles under a node are contiguous.
 */
export interface MeshTree extends BoxTree {
  /** The same boxes with coarser leaves and the sums that make half-space volumes cheap. */
  readonly flux: FluxTree
  /** The nodes as three-mesh-bvh packs them, for a window that wants to deserialise the same tree for picking. */
  readonly packedNodes: ArrayBuffer
}

/** What queries for points and rays walk through. */
export interface BoxTree {
  /** The mesh whose triangles the tree has put in its own order. Positions are the caller's array, not a copy. */
  readonly mesh: Mesh
  /** The memory of `mesh.triangles` read as signed words, which the engine handles as plain integers. */
  readonly indices: Int32Array
  readonly nodeCount: number
  readonly skip: Uint32Array
  /** First triangle under each node. */
  readonly start: Uint32Array
  /** Number of triangles under each node. */
  readonly count: Uint32Array
  /**
   * Eight words per node, so that a visit costs one cache line: box centre (3) and half extents (3), mm, rounded
   * outward; two words that `links` reads.
   */
  readonly boxes: Float32Array
  /** The same memory: word 6 of a node is its `skip`, word 7 its `start`; one node more closes the list. */
  readonly links: Int32Array
}

/**
 * Builds the tree: three-mesh-bvh splits and reorders the triangles, then one pass from the last node to the first
 * makes the boxes. A mesh without triangles gives a tree without nodes.
 */
export function buildTree(mesh: Mesh): MeshTree {
  if (mesh.triangles.length === 0) return emptyTree(mesh)
  const geometry = new BufferGeometry()
  const triangles = mesh.triangles.slice()
  geometry.setAttribute('position', new BufferAttribute(mesh.positions, 3))
  geometry.setIndex(new BufferAttribute(triangles, 1))
  if (triangles.length > 3 * 20_000) primeBuild(mesh)
  const bvh = new MeshBVH(geometry, { setBoundingBox: false, verbose: false })
  const packedNodes = MeshBVH.serialize(bvh, { cloneBuffers: false }).roots[0]!
  const layout = unpack(packedNodes, triangles.length / 3)
  const boxes = new Float32Array(8 * (layout.nodeCount + 1))
  const links = new Int32Array(boxes.buffer)
  for (let node = 0; node < layout.nodeCount; node++) {
    links[8 * node + 6] = layout.skip[node]!
    links[8 * node + 7] = layout.start[node]!
  }
  links[8 * layout.nodeCount + 7] = triangles.length / 3
  const tree = {
    mesh: { positions: mesh.positions, triangles },
    indices: new Int32Array(triangles.buffer),
    ...layout,
    boxes,
    links,
    packedNodes,
  }
  for (let node = layout.nodeCount - 1; node >= 0; node--) {
    if (layout.skip[node] === node + 1) fillLeaf(tree, node)
    else fillInner(boxes, node, node + 1, layout.skip[node + 1]!)
  }
  return withFlux(tree)
}

let primed = false

/**
 * A thread's first large tree takes a third longer where no small one was built before: the engine compiles the builder's loops while
 * they go over all triangles, before it has seen what comes after them, and has to leave the compiled code every time it gets there.
 */
function primeBuild({ positions, triangles }: Mesh): void {
  if (primed) return
  primed = true
  buildTree({ positions, triangles: triangles.subarray(0, 3 * 1000) })
}

/** A tree without the sums for volumes: plain data, as one thread can hand it to another. */
export type PlainTree = Omit<MeshTree, 'flux'>

/** The tree without its sums; asking for them would make them. */
export const plainTree = (tree: MeshTree): PlainTree => ({
  mesh: tree.mesh,
  indices: tree.indices,
  nodeCount: tree.nodeCount,
  skip: tree.skip,
  start: tree.start,
  count: tree.count,
  boxes: tree.boxes,
  links: tree.links,
  packedNodes: tree.packedNodes,
})

/** Sums for volumes are made when the first volume is asked for: finding landmarks asks for none. */
export function withFlux(tree: PlainTree): MeshTree {
  let made: FluxTree | null = null
  return {
    ...tree,
    get flux() {
      made ??= tree.nodeCount === 0 ? noFlux : fluxTree(tree)
      return made
    },
  }
}

function emptyTree(mesh: Mesh): MeshTree {
  const none = new Uint32Array(0)
  return {
    mesh,
    indices: new Int32Array(0),
    nodeCount: 0,
    skip: none,
    start: none,
    count: none,
    boxes: new Float32Array(0),
    links: new Int32Array(0),
    flux: noFlux,
    packedNodes: new ArrayBuffer(0),
  }
}

const WORDS_PER_NODE = 8
const LEAF_FLAG = 0xffff

/** Reads three-mesh-bvh's packed nodes: six floats of bounds, then offset or relative right child, then flags. */
function unpack(packed: ArrayBuffer, triangleTotal: number): Pick<MeshTree, 'nodeCount' | 'skip' | 'start' | 'count'> {
  const words = new Uint32Array(packed)
  const halves = new Uint16Array(packed)
  const nodeCount = words.length / WORDS_PER_NODE
  const skip = new Uint32Array(nodeCount)
  const start = new Uint32Array(nodeCount)
  const count = new Uint32Array(nodeCount)
  // A leaf's own counter has 16 bits only; the next leaf's start says the same without that limit.
  let end = triangleTotal
  for (let node = nodeCount - 1; node >= 0; node--) {
    const word = words[WORDS_PER_NODE * node + 6]!
    if (halves[2 * WORDS_PER_NODE * node + 15] === LEAF_FLAG) {
      start[node] = word
      count[node] = end - word
      skip[node] = node + 1
      end = word
    } else {
      const right = node + word
      start[node] = start[node + 1]!
      count[node] = count[node + 1]! + count[right]!
      skip[node] = skip[right]!
    }
  }
  return { nodeCount, skip, start, count }
}

function fillLeaf(tree: BoxTree, node: number): void {
  const { positions: p, triangles } = tree.mesh
  const first = 3 * tree.start[node]!
  const last = first + 3 * tree.count[node]!
  let x0 = Number.POSITIVE_INFINITY
  let y0 = Number.POSITIVE_INFINITY
  let z0 = Number.POSITIVE_INFINITY
  let x1 = Number.NEGATIVE_INFINITY
  let y1 = Number.NEGATIVE_INFINITY
  let z1 = Number.NEGATIVE_INFINITY
  for (let k = first; k < last; k++) {
    const i = 3 * triangles[k]!
    const x = p[i]!
    const y = p[i + 1]!
    const z = p[i + 2]!
    if (x < x0) x0 = x
    if (x > x1) x1 = x
    if (y < y0) y0 = y
    if (y > y1) y1 = y
    if (z < z0) z0 = z
    if (z > z1) z1 = z
  }
  setBox(tree.boxes, node, x0, y0, z0, x1, y1, z1)
}

function fillInner(b: Float32Array, node: number, left: number, right: number): void {
  const l = 8 * left
  const r = 8 * right
  setBox(
    b,
    node,
    Math.min(b[l]! - b[l + 3]!, b[r]! - b[r + 3]!),
    Math.min(b[l + 1]! - b[l + 4]!, b[r + 1]! - b[r + 4]!),
    Math.min(b[l + 2]! - b[l + 5]!, b[r + 2]! - b[r + 5]!),
    Math.max(b[l]! + b[l + 3]!, b[r]! + b[r + 3]!),
    Math.max(b[l + 1]! + b[l + 4]!, b[r + 1]! + b[r + 4]!),
    Math.max(b[l + 2]! + b[l + 5]!, b[r + 2]! + b[r + 5]!),
  )
}

function setBox(
  boxes: Float32Array,
  node: number,
  x0: number,
  y0: number,
  z0: number,
  x1: number,
  y1: number,
  z1: number,
): void {
  const at = 8 * node
  const cx = Math.fround((x0 + x1) / 2)
  const cy = Math.fround((y0 + y1) / 2)
  const cz = Math.fround((z0 + z1) / 2)
  boxes[at] = cx
  boxes[at + 1] = cy
  boxes[at + 2] = cz
  boxes[at + 3] = roundedUp(Math.max(x1 - cx, cx - x0))
  boxes[at + 4] = roundedUp(Math.max(y1 - cy, cy - y0))
  boxes[at + 5] = roundedUp(Math.max(z1 - cz, cz - z0))
}

/** A float32 not below x ≥ 0: rounding to nearest loses at most 6e-8 of it. */
const roundedUp = (x: number): number => Math.fround(x * (1 + 1.2e-7))

/** Volume under a tree of a closed mesh, mm³, from the sums at its root; 0 when it is empty. */
export function volumeOfTree({ flux: { moments: m, nodeCount } }: MeshTree): number {
  return nodeCount === 0 ? 0 : (m[3]! + m[7]! + m[11]!) / 3
}

/** Slack, mm, by which box tests are widened so that float64 rounding never prunes a box that touches. */
export function roundingSlack(tree: MeshTree): number {
  if (tree.nodeCount === 0) return 0
  const b = tree.boxes
  const reach = Math.abs(b[0]!) + Math.abs(b[1]!) + Math.abs(b[2]!) + b[3]! + b[4]! + b[5]!
  return 1e-14 * reach
}
