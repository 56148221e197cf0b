import { int32Scratch } from './scratch.ts'
import type { BoxTree } from './tree.ts'

/**
 * The nodes of a tree down to blocks of a few dozen triangles, with the sums that make half-space volumes cheap. Nodes
 * stand in pre-order like the tree's own; a leaf has its triangles in a block of its own, corners copied side by side,
 * so that a query reads memory in a row and reckons a corner's distance once.
 */
export interface FluxTree {
  readonly nodeCount: number
  /** Eight words per node: box centre (3), half extents (3), mm, rounded outward; two words that `links` reads. */
  readonly boxes: Float32Array
  /**
   * The same memory: word 6 is the first node after the subtree, word 7 of a leaf its block's start, in words of
   * eight bytes.
   */
  readonly links: Int32Array
  /**
   * Per node: Σ a (3, mm²) and Σ a cᵀ about the box centre (9, row-major, mm³); a area vector, c centroid of a
   * triangle.
   */
  readonly moments: Float64Array
  /**
   * Leaf after leaf in one memory, so that a query reads it in a row. Bytes: number of triangles, number of corners,
   * three corners per triangle, counted within the leaf; then, from the next multiple of eight, what `corners` reads.
   */
  readonly blocks: Uint8Array
  /** The same memory: coordinates of the corners, mm; a corner stands once in every leaf that has it. */
  readonly corners: Float64Array
}

/**
 * Where the coordinates of a block's corners start in `corners`, when it starts at `block` (in words of eight
 * bytes).
 */
export const firstCoordinate = (block: number, triangles: number): number =>
  block + ((BLOCK_HEAD + 3 * triangles + 7) >> 3)

/** Bytes before a block's corner numbers. */
export const BLOCK_HEAD = 2

/** The most corners a leaf can have. */
export const MOST_CORNERS = 255

/** What a mesh without triangles has. */
export const noFlux: FluxTree = {
  nodeCount: 0,
  boxes: new Float32Array(0),
  links: new Int32Array(0),
  moments: new Float64Array(0),
  blocks: new Uint8Array(0),
  corners: new Float64Array(0),
}

/**
 * Triangles under a node that is not divided further: fewer nodes against more triangles tried. By measurement 16 are
 * best at 20 thousand triangles and about 40 at 2 million, where a node is rarely in the processor's memory already
 * and a block is read in a row.
 */
const blockSize = (triangles: number): number =>
  Math.min(64, 16 + Math.round(12 * Math.log10(Math.max(1, triangles / 20_000))))

/** A leaf of the tree that cannot be divided may hold any number; corner numbers have 8 bits. */
const MOST_IN_BLOCK = MOST_CORNERS / 3

/** Makes the coarse nodes, their blocks and sums of a tree that has at least one triangle. */
export function fluxTree(tree: BoxTree): FluxTree {
  const size = sizes(tree)
  const boxes = new Float32Array(8 * size.nodes)
  const corners = new Float64Array(size.words)
  const whole: FluxTree = {
    nodeCount: size.nodes,
    boxes,
    links: new Int32Array(boxes.buffer),
    moments: new Float64Array(12 * size.nodes),
    blocks: new Uint8Array(corners.buffer),
    corners,
  }
  layNodes(tree, whole)
  for (let node = whole.nodeCount - 1; node >= 0; node--) {
    if (whole.links[8 * node + 6] === node + 1) sumLeaf(whole, node)
    else {
      addChild(whole, node, node + 1)
      addChild(whole, node, whole.links[8 * (node + 1) + 6]!)
    }
  }
  return whole
}

/** Calls `leaf` for every block (first triangle and number of triangles) in order and `inner` for every node above. */
function walk(
  { mesh, nodeCount, skip, start, count }: BoxTree,
  inner: (node: number) => void,
  leaf: (node: number, first: number, many: number) => void,
): void {
  const block = blockSize(mesh.triangles.length / 3)
  for (let node = 0; node < nodeCount; ) {
    if (count[node]! > block && skip[node] !== node + 1) {
      inner(node++)
    } else {
      leaf(node, start[node]!, count[node]!)
      node = skip[node]!
    }
  }
}

function sizes(tree: BoxTree): { readonly nodes: number; readonly words: number } {
  const vertices = tree.mesh.positions.length / 3
  const lastLeaf = int32Scratch.lend(vertices).fill(-1, 0, vertices)
  let nodes = 0
  let leaves = 0
  let words = 0
  walk(
    tree,
    () => nodes++,
    (_, first, many) => {
      for (let from = 0; from < many; from += MOST_IN_BLOCK) {
        const triangles = Math.min(MOST_IN_BLOCK, many - from)
        const last = 3 * (first + from + triangles)
        words = firstCoordinate(words, triangles)
        for (let k = 3 * (first + from); k < last; k++) {
          const vertex = tree.indices[k]!
          if (lastLeaf[vertex] === leaves) continue
          lastLeaf[vertex] = leaves
          words += 3
        }
        leaves++
        nodes += from === 0 ? 1 : 2
      }
    },
  )
  int32Scratch.giveBack(lastLeaf)
  return { nodes, words }
}

function layNodes(tree: BoxTree, flux: FluxTree): void {
  const { links, boxes } = flux
  const vertices = tree.mesh.positions.length / 3
  // Where a vertex stands in the block that is being filled, when that lies within the block.
  const placeOf = int32Scratch.lend(vertices).fill(-1, 0, vertices)
  const numberOf = int32Scratch.lend(tree.nodeCount + 1)
  const fineOf = int32Scratch.lend(flux.nodeCount)
  const end = { node: 0, word: 0 }
  const add = (fine: number): number => {
    boxes.set(tree.boxes.subarray(8 * fine, 8 * fine + 6), 8 * end.node)
    fineOf[end.node] = fine
    return end.node++
  }
  walk(
    tree,
    (fine) => {
      numberOf[fine] = add(fine)
    },
    (fine, first, many) => {
      numberOf[fine] = end.node
      for (let from = 0; from < many; from += MOST_IN_BLOCK) {
        // A block too large for one leaf hangs as a chain of leaves in boxes of the same size.
        if (from + MOST_IN_BLOCK < many) add(fine)
        const leaf = add(fine)
        links[8 * leaf + 7] = end.word
        fineOf[leaf] = -1
        links[8 * leaf + 6] = leaf + 1
        end.word = fillBlock(tree, flux, end.word, placeOf, first + from, Math.min(MOST_IN_BLOCK, many - from))
      }
    },
  )
  numberOf[tree.nodeCount] = end.node
  for (let node = 0; node < flux.nodeCount; node++) {
    if (fineOf[node]! >= 0) links[8 * node + 6] = numberOf[tree.skip[fineOf[node]!]!]!
  }
  int32Scratch.giveBack(placeOf)
  int32Scratch.giveBack(numberOf)
  int32Scratch.giveBack(fineOf)
}

/** Writes a block and says where the next one starts. */
function fillBlock(
  tree: BoxTree,
  { blocks, corners }: FluxTree,
  block: number,
  placeOf: Int32Array,
  first: number,
  many: number,
): number {
  const p = tree.mesh.positions
  const base = firstCoordinate(block, many)
  let at = 8 * block + BLOCK_HEAD
  let end = base
  for (let k = 3 * first; k < 3 * (first + many); k++) {
    const vertex = tree.indices[k]!
    let place = placeOf[vertex]!
    if (place < base) {
      place = end
      placeOf[vertex] = place
      corners[end++] = p[3 * vertex]!
      corners[end++] = p[3 * vertex + 1]!
      corners[end++] = p[3 * vertex + 2]!
    }
    blocks[at++] = (place - base) / 3
  }
  blocks[8 * block] = many
  blocks[8 * block + 1] = (end - base) / 3
  return end
}

function sumLeaf({ boxes, links, moments: m, blocks, corners: p }: FluxTree, node: number): void {
  const block = links[8 * node + 7]!
  const triangles = blocks[8 * block]!
  const base = firstCoordinate(block, triangles)
  const first = 8 * block + BLOCK_HEAD
  const ox = boxes[8 * node]!
  const oy = boxes[8 * node + 1]!
  const oz = boxes[8 * node + 2]!
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
  for (let k = first; k < first + 3 * triangles; k += 3) {
    const i = base + 3 * blocks[k]!
    const j = base + 3 * blocks[k + 1]!
    const l = base + 3 * blocks[k + 2]!
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

/** The child's moments, shifted from its own box centre to the parent's. */
function addChild({ boxes: b, moments: m }: FluxTree, node: number, child: number): void {
  const from = 12 * child
  const to = 12 * node
  const ax = m[from]!
  const ay = m[from + 1]!
  const az = m[from + 2]!
  const x = b[8 * child]! - b[8 * node]!
  const y = b[8 * child + 1]! - b[8 * node + 1]!
  const z = b[8 * child + 2]! - b[8 * node + 2]!
  m[to]! += ax
  m[to + 1]! += ay
  m[to + 2]! += az
  m[to + 3]! += m[from + 3]! + ax * x
  m[to + 4]! += m[from + 4]! + ax * y
  m[to + 5]! += m[from + 5]! + ax * z
  m[to + 6]! += m[from + 6]! + ay * x
  m[to + 7]! += m[from + 7]! + ay * y
  m[to + 8]! += m[from + 8]! + ay * z
  m[to + 9]! += m[from + 9]! + az * x
  m[to + 10]! += m[from + 10]! + az * y
  m[to + 11]! += m[from + 11]! + az * z
}
