import { BufferAttribute, BufferGeometry } from 'three'
import { MeshBVH } from 'three-mesh-bvh'
import type { Mesh } from './mesh.ts'

/**
 * A bounding-volume tree over a mesh's triangles, with the moments that make half-space volumes cheap. Nodes stand in
 * pre-order: the left child of node i is i + 1, and `skip[i]` is the first node after i's subtree (so a node is a leaf
 * when `skip[i] === i + 1`, and the right child of i is `skip[i + 1]`). The triangles under a node are contiguous.
 */
export interface MeshTree {
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
  /**
   * Per node: Σ a (3, mm²) and Σ a cᵀ about the box centre (9, row-major, mm³); a area vector, c centroid of a
   * triangle.
   */
  readonly moments: Float64Array
  /** The nodes as three-mesh-bvh packs them, for a window that wants to deserialise the same tree for picking. */
  readonly packedNodes: ArrayBuffer
}

/**
 * Builds the tree: three-mesh-bvh splits and reorders the triangles, then one pass from the last node to the first
 * sums boxes and moments. A mesh without triangles gives a tree without nodes.
 */
export function buildTree(mesh: Mesh): MeshTree {
  if (mesh.triangles.length === 0) return emptyTree(mesh)
  const geometry = new BufferGeometry()
  const triangles = mesh.triangles.slice()
  geometry.setAttribute('position', new BufferAttribute(mesh.positions, 3))
  geometry.setIndex(new BufferAttribute(triangles, 1))
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
  const moments = new Float64Array(12 * layout.nodeCount)
  const tree: MeshTree = {
    mesh: { positions: mesh.positions, triangles },
    indices: new Int32Array(triangles.buffer),
    ...layout,
    boxes,
    links,
    moments,
    packedNodes,
  }
  for (let node = layout.nodeCount - 1; node >= 0; node--) {
    if (layout.skip[node] === node + 1) fillLeaf(tree, node)
    else fillInner(tree, node, node + 1, layout.skip[node + 1]!)
  }
  return tree
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
    moments: new Float64Array(0),
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

function fillLeaf(tree: MeshTree, node: number): void {
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
  const ox = tree.boxes[8 * node]!
  const oy = tree.boxes[8 * node + 1]!
  const oz = tree.boxes[8 * node + 2]!
  let sx = 0
  let sy = 0
  let sz = 0
  let xx = 0
  let xy = 0
  let xz = 0
  let yx = 0
  let yy = 0
  let yz = 0
  let zx = 0
  let zy = 0
  let zz = 0
  for (let k = first; k < last; k += 3) {
    const i = 3 * triangles[k]!
    const j = 3 * triangles[k + 1]!
    const l = 3 * triangles[k + 2]!
    const ux = p[j]! - p[i]!
    const uy = p[j + 1]! - p[i + 1]!
    const uz = p[j + 2]! - p[i + 2]!
    const vx = p[l]! - p[i]!
    const vy = p[l + 1]! - p[i + 1]!
    const vz = p[l + 2]! - p[i + 2]!
    const ax = (uy * vz - uz * vy) / 2
    const ay = (uz * vx - ux * vz) / 2
    const az = (ux * vy - uy * vx) / 2
    const cx = p[i]! - ox + (ux + vx) / 3
    const cy = p[i + 1]! - oy + (uy + vy) / 3
    const cz = p[i + 2]! - oz + (uz + vz) / 3
    sx += ax
    sy += ay
    sz += az
    xx += ax * cx
    xy += ax * cy
    xz += ax * cz
    yx += ay * cx
    yy += ay * cy
    yz += ay * cz
    zx += az * cx
    zy += az * cy
    zz += az * cz
  }
  const m = tree.moments
  const at = 12 * node
  m[at] = sx
  m[at + 1] = sy
  m[at + 2] = sz
  m[at + 3] = xx
  m[at + 4] = xy
  m[at + 5] = xz
  m[at + 6] = yx
  m[at + 7] = yy
  m[at + 8] = yz
  m[at + 9] = zx
  m[at + 10] = zy
  m[at + 11] = zz
}

function fillInner(tree: MeshTree, node: number, left: number, right: number): void {
  const b = tree.boxes
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
  addChild(tree, node, left)
  addChild(tree, node, right)
}

/** The child's moments, shifted from its own box centre to the parent's. */
function addChild(tree: MeshTree, node: number, child: number): void {
  const m = tree.moments
  const b = tree.boxes
  const from = 12 * child
  const to = 12 * node
  for (let k = 3; k < 12; k++) m[to + k]! += m[from + k]!
  addMoments(
    m,
    to,
    m[from]!,
    m[from + 1]!,
    m[from + 2]!,
    b[8 * child]! - b[8 * node]!,
    b[8 * child + 1]! - b[8 * node + 1]!,
    b[8 * child + 2]! - b[8 * node + 2]!,
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

function addMoments(
  m: Float64Array,
  at: number,
  ax: number,
  ay: number,
  az: number,
  cx: number,
  cy: number,
  cz: number,
): void {
  m[at]! += ax
  m[at + 1]! += ay
  m[at + 2]! += az
  m[at + 3]! += ax * cx
  m[at + 4]! += ax * cy
  m[at + 5]! += ax * cz
  m[at + 6]! += ay * cx
  m[at + 7]! += ay * cy
  m[at + 8]! += ay * cz
  m[at + 9]! += az * cx
  m[at + 10]! += az * cy
  m[at + 11]! += az * cz
}

/** Volume under a tree of a closed mesh, mm³, from the sums at its root; 0 when it is empty. */
export function volumeOfTree({ moments: m, nodeCount }: MeshTree): number {
  return nodeCount === 0 ? 0 : (m[3]! + m[7]! + m[11]!) / 3
}

/** Slack, mm, by which box tests are widened so that float64 rounding never prunes a box that touches. */
export function roundingSlack(tree: MeshTree): number {
  if (tree.nodeCount === 0) return 0
  const b = tree.boxes
  const reach = Math.abs(b[0]!) + Math.abs(b[1]!) + Math.abs(b[2]!) + b[3]! + b[4]! + b[5]!
  return 1e-14 * reach
}
